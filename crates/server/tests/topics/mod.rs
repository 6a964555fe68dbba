//! One file for each subject that has many promises of its own.

mod audit;
mod languages;
mod photos;
mod postal;
