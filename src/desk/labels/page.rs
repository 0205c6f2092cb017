//! The Labels page: what is chosen, and the true pages beside it.

use std::sync::Arc;

use askama::Template;
use axum::{
    extract::{RawQuery, State},
    response::{IntoResponse, Response},
};

use super::{
    super::{
        address::own_addresses,
        answer::{Page, Refusal},
        shell::{Place, Shell, Visitor},
        state::Desk,
    },
    choices::{CHANGED, Choices},
    offered::{KindLink, SheetGroup, WhichChoice, kind_links, sheet_groups, sheet_size, which_choices},
    seen::PreviewPart,
};
use crate::{
    job::{Settings, Sheets, printers},
    register::{Area, Bin, Register, RunKind},
};

#[derive(Debug, Template)]
#[template(path = "labels.html")]
struct LabelsPage {
    shell: Shell,
    choices: Choices,
    kinds: Vec<KindLink>,
    which: Vec<WhichChoice>,
    sheets: Vec<SheetGroup>,
    usual: String,
    printers: Vec<String>,
    areas: Vec<Area>,
    bins: Vec<Bin>,
    /// Addresses of this computer on its network, for links.
    links: Vec<String>,
    preview: PreviewPart,
}

impl LabelsPage {
    fn is_tag(&self) -> bool {
        self.choices.what == RunKind::Tags && !self.choices.is_again()
    }

    fn is_sign(&self) -> bool {
        matches!(self.choices.what, RunKind::Signs | RunKind::Lids) && !self.choices.is_again()
    }

    fn shows(&self, field: &str) -> bool {
        self.choices.show.iter().any(|shown| shown == field)
    }

    /// Whether a choice under `More` is not as usual.
    fn has_more(&self) -> bool {
        let of = &self.choices;
        [&of.note, &of.inside, &of.read_from, &of.rotate, &of.link].iter().any(|text| !text.is_empty())
    }
}

/// The page, or the part of it that follows what is chosen.
pub(super) async fn page(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    RawQuery(query): RawQuery,
) -> Result<Response, Refusal> {
    let query = query.unwrap_or_default();
    let mut choices = Choices::of(&query)?;
    choices.has_changed = query.contains(CHANGED);
    let looks_only = visitor.device.looks_only;
    let (own, asked, wants_part) = (Arc::clone(&desk), choices.clone(), visitor.wants_part);
    let shell = visitor.shell(&desk, "Labels", Place::Labels);
    // Held as long as the browser waits for the answer.
    let (_waits, turn) = desk.previews.turn(visitor.device.id).await;
    let made = move |register: &Register| {
        let preview = PreviewPart::of(&own, register, &asked, looks_only, &turn)?;
        Ok::<_, Refusal>(if wants_part {
            Err(preview)
        } else {
            Ok(labels_page(&own, register, asked, shell, preview)?)
        })
    };
    Ok(match desk.read(made).await? {
        Ok(page) => Page(page).into_response(),
        Err(part) => Page(part).into_response(),
    })
}

fn labels_page(
    desk: &Desk,
    register: &Register,
    choices: Choices,
    shell: Shell,
    preview: PreviewPart,
) -> Result<LabelsPage, Refusal> {
    let settings = Settings::of(register)?;
    Ok(LabelsPage {
        kinds: kind_links(&choices),
        which: which_choices(&choices),
        sheets: sheet_groups(&Sheets::of(register)?),
        usual: sheet_size(&settings.sheet_for(choices.what, None)?),
        printers: printers(register)?.into_iter().map(|printer| printer.name).collect(),
        areas: register.areas()?,
        bins: register.bins(None)?,
        links: own_addresses().iter().map(|ip| format!("http://{ip}:{}", desk.port)).collect(),
        choices,
        shell,
        preview,
    })
}
