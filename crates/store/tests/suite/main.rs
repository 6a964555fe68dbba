//! The store held to its promises, on SQLite and on a real PostgreSQL.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

mod backup;
mod bench;
mod cluster;
mod deeds;
mod diary;
mod exchange;
mod generated;
mod hostile;
mod idempotency;
mod kills;
mod lists;
mod people;
mod power_cut;
mod races;
mod sample;
mod undo;
