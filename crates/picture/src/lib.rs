//! Drawings to scale, made of what the workshop answers: pure functions from values to SVG.
//!
//! Each drawing is one `svg` element for a page to hold as it stands. It carries no script and no style of its own, only
//! classes, which [`STYLE`] dresses for light, dark and paper; line widths and sizes follow the text size that each
//! drawing states in its own unit. A title and a description say in words what is drawn, and nothing is told by colour
//! alone: what stands is a solid line, what was is dashed, a range is hatched, what is wanted is a diamond.
//!
//! A drawing with a figure that is no number is replaced by a sentence that says so.

mod body;
mod collars;
mod day_strips;
mod front;
mod height_strip;
mod load_plan;
mod plots;
mod scale;
mod side;
mod svg;
mod table;
mod van;
mod where_to_look;
mod words;

pub use collars::{CollarCorner, CollarPicture, CollarTask, Turn, collars, turn_words};
pub use day_strips::{DayJob, DayStrips, RampStrip, day_strips};
pub use front::{AxleView, axle};
pub use height_strip::{HeightStrip, StripMark, height_strip};
pub use load_plan::{LoadPlan, PlacedItem, load_plan};
pub use plots::{BenchPlot, TravelStrip, spring_bench, travel_strip};
pub use side::{SideView, side};
pub use svg::Frame;
pub use table::PlotTable;
pub use van::{Arch, ShownStance, VanShape};
pub use where_to_look::{WhereToLook, where_to_look};

/// How the classes of all drawings look.
pub const STYLE: &str = include_str!("picture.css");
