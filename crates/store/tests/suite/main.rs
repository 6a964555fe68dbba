//! The store held to its promises, on SQLite and on a real PostgreSQL.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

mod bench;
mod cluster;
mod deeds;
mod diary;
mod idempotency;
mod people;
mod races;
mod sample;
mod undo;
