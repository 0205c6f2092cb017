//! Plans, held against what is known from elsewhere.

mod backwards;
mod brute;
mod cut;
mod decreasing;
mod odd;
mod rules;
