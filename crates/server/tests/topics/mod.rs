//! One file for each subject that has many promises of its own.

mod audit;
mod bench;
mod languages;
mod photos;
mod postal;
mod quotes;
