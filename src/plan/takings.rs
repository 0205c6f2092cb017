//! What was bought, listed, sold and earned in each period.
//!
//! Start with [`Ledger::new`]; hand in refunds, expenses and each item with its sales, and [`Ledger::finish`] it.
//! All sums are exact. An amount that is not known is counted apart and never taken for 0: a sale whose price or cost
//! is not known is left out of the profit with all its fees and refunds.
//! Nothing here knows about taxes.

use jiff::civil::Date;

use super::{
    ages::{Age, Ages},
    period::Periods,
};
use crate::unit::{Balance, Money};

/// An item.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Goods {
    /// When it was bought, else when it was entered.
    pub came: Date,
    /// What it cost.
    pub cost: Option<Money>,
    /// What is asked for it.
    pub asking: Option<Money>,
    /// Since when it is listed.
    pub listed: Option<Date>,
    /// When it was lost, broken or given away.
    pub gone: Option<Date>,
}

/// A sale of an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sold {
    /// The day.
    pub day: Date,
    /// All that the buyer paid.
    pub price: Option<Money>,
    /// What selling it cost.
    pub fees: Money,
    /// What sending it cost.
    pub postage: Money,
    /// Since when it had been listed.
    pub listed: Option<Date>,
    /// When it came back.
    pub returned: Option<Date>,
}

/// Money that a buyer got back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Refunded {
    /// The day.
    pub day: Date,
    /// How much.
    pub amount: Money,
    /// What the way back cost the seller.
    pub postage: Money,
    /// Whether the price and the cost of the sale are known.
    pub is_known: bool,
}

/// So many, worth so much, not counting those whose worth is not known.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Worth {
    /// How many.
    pub count: i64,
    /// What they are worth, as far as it is known.
    pub amount: Balance,
    /// Of how many it is not known.
    pub unknown: i64,
}

impl Worth {
    pub(super) fn add(&mut self, amount: Option<Money>) {
        self.count += 1;
        match amount {
            Some(amount) => self.amount += amount.into(),
            None => self.unknown += 1,
        }
    }

    fn plus(self, other: Self) -> Self {
        let (count, unknown) = (self.count + other.count, self.unknown + other.unknown);
        Self { count, amount: self.amount + other.amount, unknown }
    }

    fn minus(self, other: Self) -> Self {
        let (count, unknown) = (self.count - other.count, self.unknown - other.unknown);
        Self { count, amount: self.amount - other.amount, unknown }
    }
}

/// The figures of a period.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Figures {
    /// Items that came in, by their cost.
    pub bought: Worth,
    /// Items that were listed, or were back on the shelves after a return, by what is asked for them.
    pub listed: Worth,
    /// Listed items on the shelves at the end of the last day, by what is asked for them.
    pub shelves: Worth,
    /// Sales, by what the buyers paid.
    pub sold: Worth,
    /// What selling cost.
    pub fees: Balance,
    /// What sending cost.
    pub postage: Balance,
    /// Sales, by what the items had cost.
    pub sold_cost: Worth,
    /// What buyers got back.
    pub refunds: Balance,
    /// What ways back cost.
    pub return_postage: Balance,
    /// Items that came back, by what they had cost.
    pub returned: Worth,
    /// Items that were lost, broken or given away, by what they had cost; no part of the profit.
    pub gone: Worth,
    /// Expenses.
    pub expenses: Balance,
    /// What is left of the sales whose price and cost are known, after fees, postage, cost, refunds and expenses; the
    /// cost of an item that came back counts again as stock.
    pub profit: Balance,
    /// How many sales the profit does not know.
    pub profit_unknown: i64,
    /// Profit in thousandths of what buyers paid and did not get back.
    pub margin: Option<i64>,
    /// Sales of listed items in thousandths of those that were listed at the start or in the period.
    pub sell_through: Option<i64>,
    /// The median of the days from listing to sale, in tenths.
    pub days_to_sell: Option<i64>,
}

/// All figures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Takings {
    /// The periods and their figures.
    pub periods: Periods,
    /// One for each period.
    pub figures: Vec<Figures>,
    /// All periods together.
    pub total: Figures,
    /// What is left at the end, by its age.
    pub ages: Vec<Age>,
}

/// What else the figures of a period follow from.
#[derive(Debug, Clone, Default)]
struct Own {
    figures: Figures,
    /// Paid and not given back, of the sales that the profit knows.
    net: Balance,
    sold_listed: i64,
    days: Vec<i32>,
}

/// Gathers figures.
#[derive(Debug)]
pub struct Ledger {
    periods: Periods,
    /// One for each period, and the total.
    own: Vec<Own>,
    /// By how much the shelves change at each end of a period; the first is the day before the first period.
    shelves: Vec<Worth>,
    ages: Ages,
}

impl Ledger {
    /// Nothing has happened yet.
    #[must_use]
    pub fn new(periods: Periods) -> Self {
        let count = periods.list.len();
        let end = periods.list.last().map_or(Date::MAX, |period| period.to);
        let own = vec![Own::default(); count + 1];
        Self { own, shelves: vec![Worth::default(); count + 2], ages: Ages::on(end), periods }
    }

    /// Takes an expense in.
    pub fn expense(&mut self, day: Date, amount: Money) {
        self.on(day, |own| {
            own.figures.expenses += amount.into();
            own.figures.profit -= amount.into();
        });
    }

    /// Takes a refund in.
    pub fn refund(&mut self, refund: Refunded) {
        self.on(refund.day, |own| {
            own.figures.refunds += refund.amount.into();
            own.figures.return_postage += refund.postage.into();
            if refund.is_known {
                own.figures.profit -= Balance::from(refund.amount) + refund.postage.into();
                own.net -= refund.amount.into();
            }
        });
    }

    /// Takes an item in, with its sales in their order.
    pub fn item(&mut self, goods: Goods, sales: &[Sold]) {
        self.on(goods.came, |own| own.figures.bought.add(goods.cost));
        if let Some(gone) = goods.gone {
            self.on(gone, |own| own.figures.gone.add(goods.cost));
        }
        let mut back = None;
        for sale in sales {
            self.sale(&goods, sale);
            if let Some(listed) = sale.listed {
                self.listing(back.max(Some(listed)).unwrap_or(listed).min(sale.day), Some(sale.day), goods.asking);
            }
            back = sale.returned;
        }
        let is_here = sales.last().is_none_or(|sale| sale.returned.is_some());
        if let Some(listed) = goods.listed.filter(|_| is_here) {
            self.listing(back.max(Some(listed)).unwrap_or(listed), goods.gone, goods.asking);
        }
        self.ages.item(&goods, sales);
    }

    fn sale(&mut self, goods: &Goods, sale: &Sold) {
        let known = sale.price.zip(goods.cost);
        self.on(sale.day, |own| {
            let figures = &mut own.figures;
            figures.sold.add(sale.price);
            figures.sold_cost.add(goods.cost);
            figures.fees += sale.fees.into();
            figures.postage += sale.postage.into();
            match known {
                Some((price, cost)) => {
                    let spent = Balance::from(sale.fees) + sale.postage.into() + cost.into();
                    figures.profit += Balance::from(price) - spent;
                    own.net += price.into();
                }
                None => figures.profit_unknown += 1,
            }
            if let Some(listed) = sale.listed {
                own.sold_listed += 1;
                own.days.push((sale.day - listed).get_days());
            }
        });
        if let Some(returned) = sale.returned {
            self.on(returned, |own| {
                own.figures.returned.add(goods.cost);
                if let Some((_, cost)) = known {
                    own.figures.profit += cost.into();
                }
            });
        }
    }

    /// On the shelves from one day until another.
    fn listing(&mut self, from: Date, until: Option<Date>, asking: Option<Money>) {
        self.on(from, |own| own.figures.listed.add(asking));
        let mut one = Worth::default();
        one.add(asking);
        let (first, end) = (self.snapshot(from), until.map_or(self.shelves.len() - 1, |until| self.snapshot(until)));
        if first < end {
            self.shelves[first] = self.shelves[first].plus(one);
            self.shelves[end] = self.shelves[end].minus(one);
        }
    }

    /// The first end of a period that does not lie before a day.
    fn snapshot(&self, day: Date) -> usize {
        match self.periods.from() {
            Some(from) if from > day => 0,
            _ => 1 + self.periods.list.partition_point(|period| period.to < day),
        }
    }

    /// In the period of this day and in the total.
    fn on(&mut self, day: Date, mut note: impl FnMut(&mut Own)) {
        if let Some(at) = self.periods.of(day) {
            note(&mut self.own[at]);
            if let Some(total) = self.own.last_mut() {
                note(total);
            }
        }
    }

    /// The figures.
    #[must_use]
    pub fn finish(self) -> Takings {
        let mut present = Worth::default();
        let mut ends = Vec::with_capacity(self.shelves.len());
        for change in &self.shelves {
            present = present.plus(*change);
            ends.push(present);
        }
        let count = self.periods.list.len();
        let mut figures: Vec<Figures> = Vec::with_capacity(count + 1);
        for (at, own) in self.own.into_iter().enumerate() {
            // The total begins where the first period does and ends where the last one does.
            let (start, end) = if at == count { (ends[0], ends[count]) } else { (ends[at], ends[at + 1]) };
            figures.push(own.figures(start, end));
        }
        let total = figures.pop().unwrap_or_default();
        Takings { periods: self.periods, figures, total, ages: self.ages.finish() }
    }
}

impl Own {
    fn figures(mut self, start: Worth, end: Worth) -> Figures {
        let thousandths = |part: Balance, whole| part.thousandths_of(whole).and_then(|value| i64::try_from(value).ok());
        let offered = start.count + self.figures.listed.count;
        let [sold, offered] = [self.sold_listed, offered].map(|count| Balance::from_minor(count.into()));
        Figures {
            shelves: end,
            margin: thousandths(self.figures.profit, self.net),
            sell_through: thousandths(sold, offered),
            days_to_sell: median(&mut self.days),
            ..self.figures
        }
    }
}

/// In tenths; of an even number the mean of the two in the middle.
fn median(days: &mut [i32]) -> Option<i64> {
    days.sort_unstable();
    let (low, high) = (days.get(days.len().checked_sub(1)? / 2)?, days.get(days.len() / 2)?);
    Some((i64::from(*low) + i64::from(*high)) * 5)
}
