//! Photographs of tags: simulated ones of whole bins, read as a phone's pictures would be.

mod nothing;
mod prints;
mod scene;
mod tags;
