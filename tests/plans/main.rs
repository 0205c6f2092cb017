//! Plans, held against what is known from elsewhere.

mod backwards;
mod brute;
mod odd;
mod rules;
