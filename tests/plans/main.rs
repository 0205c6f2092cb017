//! Plans, held against what is known from elsewhere: brute force, which tries every way of small cases by code that shares
//! nothing with the program's, instances with a known best, and published bounds.
//!
//! [`fit`] puts new items into bins; the others regroup. Each case is drawn from a seed that a failure prints.

mod backwards;
mod brute;
mod cut;
mod decreasing;
mod fit;
mod odd;
mod rules;
