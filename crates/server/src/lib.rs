//! The workshop in the browser: pages, JSON API, sign-in, calendar.
//!
//! [`router`] is the whole server over a [`store::Store`]; [`serve`] listens with it. Every request passes one gate
//! (`guard`) that looks its route up in one table (`access`); a route without a line there does not answer. What is
//! promised, and how each promise is proven, is in `docs/server.md`.

mod access;
pub mod answers;
mod api;
mod app;
mod as_issued;
mod audit;
mod calendar;
mod caller;
pub mod demo;
mod extract;
mod guard;
mod images;
mod pages;
mod problem;
mod routes;
mod run;
mod secrets;
mod shortlists;
mod sign_in;
pub mod store_words;
pub mod why;
mod wire;

pub use app::{App, Clock, Reach, machine_clock};
pub use problem::Problem;
pub use routes::router;
pub use run::{serve, told_to_stop};
pub use sign_in::new_set_up_code;
