//! One file for each subject that has many promises of its own.

mod audit;
mod bay;
mod bench;
mod counter;
mod languages;
mod photos;
mod postal;
mod quotes;
