//! The page of a file that was given: what its columns are, what is wanted of it, and what would come in.

use askama::Template;

use super::{
    super::{
        answer::Refusal,
        sent::Sent,
        shell::Shell,
        table_file::{ColumnRow, fields},
    },
    drafts::Upload,
    preview::PreviewPart,
    wish::{Fault, ImportFault, Open, Wish, drafted},
};
use crate::{exchange::BUYS, register::Register};

#[derive(Debug, Template)]
#[template(path = "import_look.html")]
pub(super) struct ImportPage {
    shell: Shell,
    id: String,
    name: String,
    size: String,
    columns: Vec<ColumnRow>,
    fields: Vec<(&'static str, String)>,
    sent: Sent,
    /// Where new items go that no row names a bin for.
    place: &'static str,
    has_room: bool,
    fault: Option<Fault>,
    open: Option<Open>,
    pub preview: PreviewPart,
}

impl ImportPage {
    pub(super) fn new(register: &Register, upload: &Upload, sent: Sent, shell: Shell) -> Result<Self, Refusal> {
        let wish = Wish::new(register, upload, &sent)?;
        let has_room = register.has_room()?;
        let place = match sent.one("where") {
            "bin" => "bin",
            "together" => "together",
            "wait" => "wait",
            _ if has_room => "fit",
            _ => "wait",
        };
        let fault = wish.options.as_ref().err().cloned();
        let (drafted, open) = match &wish.options {
            Ok(options) => drafted(register, upload, options),
            Err(fault) => (Err(ImportFault { text: fault.text.clone(), ..ImportFault::default() }), None),
        };
        Ok(Self {
            shell,
            id: upload.id.clone(),
            name: upload.name.clone(),
            size: wish.columns.size(),
            columns: wish.columns.rows(),
            fields: fields(&BUYS),
            place,
            has_room,
            fault,
            open,
            preview: PreviewPart::new(register, &upload.id, &sent, drafted)?,
            sent,
        })
    }

    fn fault_of(&self, field: &str) -> Option<&str> {
        self.fault.as_ref().filter(|fault| fault.field == field).map(|fault| fault.text.as_str())
    }
}
