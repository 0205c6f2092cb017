//! All QR in a picture, by `rxing`'s reader of several: each set of finder patterns is used once.

use std::{
    collections::HashSet,
    panic::{AssertUnwindSafe, catch_unwind},
};

use rxing::{
    BarcodeFormat, BinaryBitmap, DecodeHints, Luma8Source, common::HybridBinarizer, multi::MultipleBarcodeReader,
    qrcode::cpp_port::QrReader,
};

use super::{Readings, SMALLEST, SURE};
use crate::output::Pixels;

pub(super) fn read(picture: &Pixels) -> Readings {
    if picture.width < SMALLEST || picture.height < SMALLEST {
        return Readings::new();
    }
    // A decoder may stumble over a picture; the other looks at it go on.
    catch_unwind(AssertUnwindSafe(|| decoded(picture))).unwrap_or_default()
}

fn decoded(picture: &Pixels) -> Readings {
    let possible = Some(HashSet::from([BarcodeFormat::QR_CODE]));
    let hints = DecodeHints { TryHarder: Some(true), PossibleFormats: possible, ..DecodeHints::default() };
    let Ok(source) = Luma8Source::new_with_slice(&picture.luma, picture.width, picture.height) else {
        return Readings::new();
    };
    let mut bitmap = BinaryBitmap::new(HybridBinarizer::new(source));
    let found = QrReader.decode_multiple_with_hints(&mut bitmap, &hints).unwrap_or_default();
    found.iter().map(|result| (result.getText().to_owned(), SURE)).collect()
}
