//! One file for each subject that has many promises of its own.

mod audit;
mod bay;
mod bench;
mod catalogue;
mod counter;
mod languages;
mod loads;
mod photos;
mod postal;
mod quotes;
mod units;
