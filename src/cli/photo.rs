//! `stowmark photo`

use std::{
    collections::BTreeSet,
    fs::File,
    io::{self, Read},
    path::{Path, PathBuf},
};

use super::{
    find::matches_json,
    outcome::{CliError, Outcome},
    session::Session,
};
use crate::{
    exchange::json::PhotoJson,
    job::{LARGEST_PHOTO, PhotoAnswer, found_line, photo, photo_codes, shown},
};

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Reads every tag and sign in JPEG and PNG pictures: of one tag, or of all that lies in a bin. What
is in several pictures is told once. QR codes with modules of 0.55 mm or more are read at any angle
in a picture of 60 x 45 cm with 11 megapixels; nearer is surer. Pictures are not kept, nor where
they were taken.

Example:
  stowmark photo bin-4a.jpg
  stowmark photo left.jpg right.jpg --json"
)]
pub(super) struct PhotoArgs {
    /// JPEG or PNG files
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
}

pub(super) fn run(args: &PhotoArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let mut texts = BTreeSet::new();
    for file in &args.files {
        texts.extend(codes(file)?);
    }
    let answer = photo(session.register()?, &texts.into_iter().collect::<Vec<_>>())?;
    let matches = matches_json(&answer.found, &currency);
    session.answer(&PhotoJson { matches, unknown: answer.unknown.clone() }, || text(&answer))?;
    Ok(if answer.found.matches.is_empty() { Outcome::NothingFound } else { Outcome::Done })
}

fn codes(path: &Path) -> Result<Vec<String>, CliError> {
    let file = read(path).map_err(|source| CliError::PhotoFile { path: path.to_owned(), source })?;
    photo_codes(&file).map_err(|source| CliError::PhotoIn { path: path.to_owned(), source })
}

/// No more than a photograph may have, and a byte that tells that there is more.
fn read(path: &Path) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    File::open(path)?.take(LARGEST_PHOTO as u64 + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn text(answer: &PhotoAnswer) -> String {
    let found = answer.found.found().enumerate();
    let mut lines: Vec<String> =
        found.map(|(at, (found, old))| found_line(found, old) + &answer.found.in_hand_text(at)).collect();
    lines.extend(answer.unknown.iter().map(|text| format!("{}  not in the register", shown(text))));
    if lines.is_empty() { "nothing was read; go nearer, and hold the camera still".into() } else { lines.join("\n") }
}
