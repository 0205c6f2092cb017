//! Plans against brute force: on small cases every way is tried, by code that shares nothing with the program's.
//!
//! [`fit`] puts new items into bins. Each case is drawn from a seed that a failure prints.

mod fit;
