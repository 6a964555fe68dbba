//! One file for each subject that has many promises of its own.

mod audit;
mod bench;
mod catalogue;
mod languages;
mod loads;
mod photos;
mod postal;
