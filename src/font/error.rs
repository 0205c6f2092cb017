//! Why a font file was refused.

use std::path::PathBuf;

/// Why a font file was refused.
#[derive(Debug, thiserror::Error)]
pub enum FontError {
    /// The file can't be read.
    #[error("the font `{path}` can't be read; check where it is, or forget it with `stowmark font remove`")]
    Read {
        /// Which.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The file is no font, or broken.
    #[error("`{0}` is no font that can be used: it is broken or something else; give a whole .ttf, .otf or .ttc file")]
    NotAFont(PathBuf),
    /// The font is made of pictures or of outlines that can't be embedded.
    #[error("the font `{0}` has no plain outlines, as pictures of emoji have none; give one that is drawn in black")]
    NoOutlines(PathBuf),
    /// The font knows no characters.
    #[error("the font `{0}` says of no character how it looks; give another one")]
    NoCharacters(PathBuf),
    /// Its maker forbids to embed it.
    #[error("the maker of the font `{path}` forbids {forbidden} (fsType {fs_type:#06x}); give another one")]
    Forbidden {
        /// Which.
        path: PathBuf,
        /// What is forbidden.
        forbidden: &'static str,
        /// The bits that say so, OS/2 `fsType`.
        fs_type: u16,
    },
    /// The file is not the one that was added.
    #[error("the font `{0}` has changed since it was added; look at it, then take it as it is with `stowmark font add {path}`", path = .0.display())]
    Changed(PathBuf),
    /// There is no such font.
    #[error("the font `{0}` was never added; `stowmark font list` shows all")]
    Unknown(PathBuf),
}
