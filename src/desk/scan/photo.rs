//! A photograph of a whole bin in place of its readings.

use std::sync::Arc;

use axum::{
    extract::{Multipart, State as Shared},
    response::Response,
};

use super::{
    session::{Area, Key},
    take::{self, ScanForm},
};
use crate::{
    code::{Origin, Read, StockCode, read},
    desk::{
        answer::Refusal,
        photo::codes_and_fields,
        shell::Visitor,
        state::{Desk, on_a_thread},
    },
};

/// Takes all that is read in the picture.
pub(super) async fn post(
    Shared(desk): Shared<Arc<Desk>>,
    visitor: Visitor,
    area: Area,
    form: Multipart,
) -> Result<Response, Refusal> {
    let (texts, mut fields) = codes_and_fields(form).await?;
    let mut field = |name: &str| fields.remove(name).unwrap_or_default();
    let (session, scan, bin) = (field("session"), field("scan"), field("bin"));
    let begun = field("begun").parse().unwrap_or_default();
    let form = ScanForm { session, scan, text: String::new(), bin, begun };
    let key = Key::new(visitor.device.id, area, &form.session)?;
    let texts = bins_first(texts)?;
    let at = Arc::clone(&desk);
    let taken = on_a_thread(move || take::take_all(&at, &key, &form, &texts)).await?;
    take::answer(&desk, &visitor, area, taken)
}

/// The sign of the bin stands somewhere in its picture; of two bins it is not known what is in which.
fn bins_first(texts: Vec<String>) -> Result<Vec<String>, Refusal> {
    let is_bin = |text: &String| matches!(read(text, Origin::Scanned), Read::Code(StockCode::Bin(_)));
    let (bins, items): (Vec<String>, Vec<String>) = texts.into_iter().partition(is_bin);
    if bins.len() > 1 {
        return Err(Refusal::input(
            "There are signs of several bins in the picture, so nothing was done. Take one bin at a time.",
        ));
    }
    Ok([bins, items].concat())
}
