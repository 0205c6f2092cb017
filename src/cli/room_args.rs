//! The options that say how much bins hold, and how big and heavy items are.

use super::{
    outcome::CliError,
    values::{change_given, given},
};
use crate::{
    job::size_by_text,
    register::{BinEdit, Bulk, BulkEdit, Register, Room, RoomEdit, Title},
    unit::{Measures, Volume, Weight},
};

/// How much a bin holds.
#[derive(Debug, clap::Args)]
pub(super) struct RoomArgs {
    /// Litres that can be used, about 80 % of what the maker says
    #[arg(long, value_name = "LITRES", allow_hyphen_values = true)]
    litres: Option<String>,
    /// The most that what is in it may weigh, in kg
    #[arg(long, value_name = "KG", allow_hyphen_values = true)]
    max_kg: Option<String>,
    /// Its inner measures in cm, such as 58x38x28
    #[arg(long, value_name = "LxWxH", allow_hyphen_values = true)]
    inside: Option<String>,
}

/// What kind of bin it is, and how much it holds where that is not what its kind says.
#[derive(Debug, clap::Args)]
pub(super) struct BinRoomArgs {
    /// The kind of bin that it is, as `bin kind list` names it
    #[arg(long, value_name = "KIND")]
    kind: Option<String>,
    #[command(flatten)]
    room: RoomArgs,
}

impl RoomArgs {
    pub(super) fn room(&self) -> Result<Room, CliError> {
        Ok(Room {
            volume: given("--litres", self.litres.as_deref(), Volume::parse)?,
            max_weight: given("--max-kg", self.max_kg.as_deref(), Weight::parse_kg)?,
            inside: given("--inside", self.inside.as_deref(), Measures::parse)?,
        })
    }

    pub(super) fn edit(&self) -> Result<RoomEdit, CliError> {
        Ok(RoomEdit {
            volume: change_given(self.litres.as_deref(), |text| read("--litres", text, Volume::parse))?,
            max_weight: change_given(self.max_kg.as_deref(), |text| read("--max-kg", text, Weight::parse_kg))?,
            inside: change_given(self.inside.as_deref(), |text| read("--inside", text, Measures::parse))?,
        })
    }
}

impl BinRoomArgs {
    pub(super) fn kind(&self) -> Result<Option<Title>, CliError> {
        Ok(self.kind.as_deref().map(Title::new).transpose()?)
    }

    pub(super) fn room(&self) -> Result<Room, CliError> {
        self.room.room()
    }

    /// Whether a volume or measures were given.
    pub(super) fn says_how_big(&self) -> bool {
        self.room.litres.is_some() || self.room.inside.is_some()
    }

    pub(super) fn edit(&self) -> Result<BinEdit, CliError> {
        let RoomEdit { volume, max_weight, inside } = self.room.edit()?;
        let kind = change_given(self.kind.as_deref(), Title::new)?;
        Ok(BinEdit { kind, volume, max_weight, inside, ..BinEdit::default() })
    }
}

/// How big and heavy an item is.
#[derive(Debug, Clone, Default, clap::Args)]
pub(super) struct BulkArgs {
    /// What it takes up, in litres
    #[arg(long, value_name = "LITRES", allow_hyphen_values = true)]
    litres: Option<String>,
    /// Its outer measures in cm, such as 30x20x10
    #[arg(long, value_name = "LxWxH", allow_hyphen_values = true)]
    measures: Option<String>,
    /// The name of a size, as `size list` has it
    #[arg(long, value_name = "NAME")]
    size: Option<String>,
    /// What it weighs, in grams
    #[arg(long, value_name = "GRAMS", allow_hyphen_values = true)]
    grams: Option<String>,
}

impl BulkArgs {
    pub(super) fn bulk(&self, register: &Register) -> Result<Bulk, CliError> {
        let size = self.size.as_deref().map(|name| size_by_text(register, name)).transpose()?;
        Ok(Bulk {
            volume: given("--litres", self.litres.as_deref(), Volume::parse)?,
            measures: given("--measures", self.measures.as_deref(), Measures::parse)?,
            size: size.map(|size| size.name),
            weight: given("--grams", self.grams.as_deref(), Weight::parse_grams)?,
        })
    }

    pub(super) fn edit(&self, register: &Register) -> Result<BulkEdit, CliError> {
        let named = |name: &str| -> Result<Title, CliError> { Ok(Title::new(&size_by_text(register, name)?.name)?) };
        Ok(BulkEdit {
            volume: change_given(self.litres.as_deref(), |text| read("--litres", text, Volume::parse))?,
            measures: change_given(self.measures.as_deref(), |text| read("--measures", text, Measures::parse))?,
            size: change_given(self.size.as_deref(), named)?,
            weight: change_given(self.grams.as_deref(), |text| read("--grams", text, Weight::parse_grams))?,
        })
    }
}

fn read<T>(
    option: &'static str,
    text: &str,
    parse: impl FnOnce(&str) -> Result<T, crate::unit::RoomError>,
) -> Result<T, CliError> {
    parse(text).map_err(|source| CliError::Room { option, source })
}
