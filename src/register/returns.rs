//! What comes back, what is given back, and what is lost.
//!
//! Start with [`Register::take_back`], [`Register::refund`] and [`Register::mark_gone`].

use jiff::civil::Date;

use super::{
    ChangeId, Item, Register, RegisterError, Sale, Status, Title,
    bin::live_bin_in,
    change::Change,
    item::named,
    row::{ItemRow, RefundRow, SaleRow},
    sale::{open_sale_in, present_in, sale_in},
};
use crate::{
    code::BinCode,
    unit::{Currency, Money},
};

/// What is given back to a buyer, and what the seller paid for the way back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NewRefund {
    /// The amount; none for all that is left of the price.
    pub amount: Option<Money>,
    /// What the seller paid for the way back.
    pub postage: Money,
    /// When.
    pub day: Date,
}

impl Register {
    /// Takes a sold item back into a bin: it is held there, unlisted, under its code. Gives what was refunded,
    /// and the change.
    ///
    /// # Errors
    /// [`RegisterError::NotSold`]; [`RegisterError::UnknownBin`]; [`RegisterError::PriceUnknown`] when all is to be
    /// given back; [`RegisterError::RefundTooLarge`].
    pub fn take_back(
        &mut self,
        item: &Item,
        to: BinCode,
        refund: NewRefund,
    ) -> Result<(Money, Option<ChangeId>), RegisterError> {
        let currency = self.currency()?;
        let change = self.begin(&format!("take {} back into {to}", item.name()))?;
        let (bin, present) = (live_bin_in(&change, to)?, present_in(&change, item.id)?);
        let sale = open_sale_in(&change, &present)?;
        let amount = refund_in(&change, (&present, &sale), refund, &currency)?;
        change.rewrite::<SaleRow>("sale returned", &sale.id.into(), |row| {
            row.returned = Some(refund.day.to_string());
            Ok(())
        })?;
        change.rewrite::<ItemRow>("item returned", &item.id.0.into(), |row| {
            (row.state, row.bin, row.listed) = ("held".into(), Some(bin.id), None);
            (row.gone, row.why_gone) = (None, None);
            Ok(())
        })?;
        Ok((amount, change.commit()?))
    }

    /// Gives a part of the price back, or all of it, without the item coming back; also after it has come back. Gives
    /// what was refunded, and the change.
    ///
    /// # Errors
    /// [`RegisterError::NotSold`]; [`RegisterError::PriceUnknown`]; [`RegisterError::RefundTooLarge`].
    pub fn refund(&mut self, item: &Item, refund: NewRefund) -> Result<(Money, Option<ChangeId>), RegisterError> {
        let currency = self.currency()?;
        let change = self.begin(&format!("refund for {}", item.name()))?;
        let present = present_in(&change, item.id)?;
        let unsold = || RegisterError::NotSold { item: present.name(), status: present.status };
        let sale = sale_in(&change, &present)?.ok_or_else(unsold)?;
        let amount = refund_in(&change, (&present, &sale), refund, &currency)?;
        Ok((amount, change.commit()?))
    }

    /// Says that items are lost, broken or given away, all of them or none. The sale of one that was to be picked
    /// stays.
    ///
    /// # Errors
    /// [`RegisterError::GoneBefore`]; [`RegisterError::HasLeft`] for one that was sent or taken back.
    pub fn mark_gone(&mut self, items: &[Item], why: &Title, day: Date) -> Result<Option<ChangeId>, RegisterError> {
        let change = self.begin(&format!("{} gone: {}", named(items), why.as_str()))?;
        items.iter().try_for_each(|item| gone_in(&change, item, why, day))?;
        change.commit()
    }

    /// The currency that amounts are in.
    fn currency(&self) -> Result<Currency, RegisterError> {
        let code = self.setting("currency")?;
        Ok(code.and_then(|code| Currency::new(&code).ok()).unwrap_or_default())
    }
}

fn refund_in(
    change: &Change<'_>,
    (item, sale): (&Item, &Sale),
    refund: NewRefund,
    currency: &Currency,
) -> Result<Money, RegisterError> {
    let most = sale.refundable();
    let amount = refund.amount.or(most).ok_or_else(|| RegisterError::PriceUnknown(item.name()))?;
    if let Some(most) = most.filter(|most| amount > *most) {
        let (amount, most) = (currency.format(amount), currency.format(most));
        return Err(RegisterError::RefundTooLarge { item: item.name(), amount, most });
    }
    let row = RefundRow {
        sale: sale.id,
        day: refund.day.to_string(),
        amount: amount.minor(),
        postage: refund.postage.minor(),
    };
    if row.amount > 0 || row.postage > 0 {
        change.insert("refund added", &row)?;
    }
    Ok(amount)
}

fn gone_in(change: &Change<'_>, item: &Item, why: &Title, day: Date) -> Result<(), RegisterError> {
    let present = present_in(change, item.id)?;
    match (present.status, present.gone) {
        (Status::Gone, Some(since)) => {
            let why = present.why_gone.clone().unwrap_or_default();
            return Err(RegisterError::GoneBefore { item: present.name(), since, why });
        }
        (Status::Picked | Status::Undone, _) => {
            return Err(RegisterError::HasLeft { item: present.name(), status: present.status });
        }
        _ => {}
    }
    change.rewrite::<ItemRow>("item gone", &item.id.0.into(), |row| {
        (row.state, row.bin) = ("gone".into(), None);
        (row.gone, row.why_gone) = (Some(day.to_string()), Some(why.as_str().to_owned()));
        Ok(())
    })?;
    Ok(())
}
