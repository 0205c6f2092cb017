//! The desk: the same program as pages in a browser, for the packing table and the phone in the stockroom.
//!
//! Start with [`OpenDesk::open`]. Pages are made here on the server; each asks [`crate::job`] as the command line does,
//! and nothing is decided twice. One file an area: what the browser sends → validated options → a call → a page.
//! Nothing is served from the disk and nothing is fetched from elsewhere. Whoever holds a paired device is trusted.

mod address;
mod answer;
mod bins;
mod changes;
mod code_svg;
mod devices;
mod end;
mod find;
mod guard;
mod item;
mod items;
mod labels;
mod limits;
mod meanwhile;
mod more;
mod own;
mod pairing;
mod photo;
mod places;
mod routes;
mod scan;
mod sent;
mod serve;
mod settings;
mod shell;
mod state;
mod table_file;
mod takings;
mod words;
mod work;

pub use address::DeskError;
pub use limits::DeskLimits;
pub use serve::{DeskOptions, OpenDesk};
