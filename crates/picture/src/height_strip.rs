//! Every kit on one strip of heights: how much lower the van would stand, with its range.

use workshop::answer::KnownVan;
use workshop::enquiry::Wish;
use workshop::facts::{Language, Words};
use workshop::figure::Figure;
use workshop::load_list::LoadState;
use workshop::shortlist::Shortlist;
use workshop::units::mm_from_m;

use crate::scale::Scale;
use crate::svg::{Anchor, Canvas, Frame, Path, Said, shortened};
use crate::table::PlotTable;
use crate::words::height_strip as words;

/// What the strip shows.
#[derive(Debug, Clone, PartialEq)]
pub struct HeightStrip {
    /// Load state.
    pub state: LoadState,
    /// Mean arch height of the four corners today, mm.
    pub today_arch_height_mm: f64,
    /// Wished drop against today and how far from it still serves, mm.
    pub wanted_drop_mm: Option<[f64; 2]>,
    /// Kits, least drop first.
    pub marks: Vec<StripMark>,
    /// Names of kits that are out and have no height.
    pub out_without_height: Vec<String>,
}

/// A kit on the strip.
#[derive(Debug, Clone, PartialEq)]
pub struct StripMark {
    /// Identifier of the kit.
    pub kit: String,
    /// Its name.
    pub name: String,
    /// Address that its mark leads to; within this site.
    pub href: String,
    /// Mean drop against today, mm.
    pub drop_mm: Figure,
    /// Why it is out; absent where it is in.
    pub out_because: Option<Words>,
    /// Whether it meets every wish that was stated.
    pub within_wishes: bool,
}

impl HeightStrip {
    /// Of a shortlist; `href` gives the address of a kit by its identifier.
    pub fn of(known: &KnownVan, wish: &Wish, shortlist: &Shortlist, href: impl Fn(&str) -> String) -> Self {
        let mut marks: Vec<StripMark> = shortlist
            .options
            .iter()
            .map(|option| StripMark {
                kit: option.kit.clone(),
                name: option.name.clone(),
                href: href(&option.kit),
                drop_mm: option.drop_against_today_mm.clone(),
                out_because: None,
                within_wishes: option.within_wishes,
            })
            .collect();
        let mut out_without_height = Vec::new();
        for out in &shortlist.out {
            let kit = known.catalogue.kits_for(&known.enquiry.vehicle).find(|kit| kit.id == out.kit);
            match kit.and_then(|kit| known.mean_drop_on_kit_mm(kit, wish.state)) {
                Some(drop_mm) => marks.push(StripMark {
                    kit: out.kit.clone(),
                    name: out.name.clone(),
                    href: href(&out.kit),
                    drop_mm,
                    out_because: Some(out.because.reason.clone()),
                    within_wishes: false,
                }),
                None => out_without_height.push(out.name.clone()),
            }
        }
        marks.sort_by(|a, b| a.drop_mm.value.total_cmp(&b.drop_mm.value));
        let arches_m = known.solved_today(wish.state).rest.arch_height_m;
        Self {
            state: wish.state,
            today_arch_height_mm: mm_from_m(0.25 * arches_m.iter().sum::<f64>()),
            wanted_drop_mm: wish.drop_against_today_mm.map(|drop| [drop, wish.drop_within_mm]),
            marks,
            out_without_height,
        }
    }

    /// The same as a table.
    pub fn table(&self, language: Language) -> PlotTable {
        words::table(language, self)
    }
}

const TEXT: f64 = 16.0;
const LEFT: f64 = 24.0;
const RIGHT: f64 = 976.0;
const LANE: f64 = 31.0;
const TOP: f64 = 66.0;
const LETTERS: usize = 30;
/// Radius of a mark, and of a ringed one.
const DOT: f64 = 7.0;
const REACH: f64 = 12.0;
/// Room beside a mark and its whisker.
const BESIDE: f64 = 8.0;

/// Draws the strip.
pub fn height_strip(strip: &HeightStrip, frame: &Frame) -> String {
    let mut canvas = Canvas::new(*frame, TEXT);
    canvas.tells([strip.today_arch_height_mm]);
    let language = frame.language;
    let wanted = strip.wanted_drop_mm.into_iter().flat_map(|[drop, within]| [drop - within, drop + within]);
    let values = strip.marks.iter().flat_map(|mark| [mark.drop_mm.low, mark.drop_mm.high]);
    let scale = Scale::over(values.chain(wanted).chain([0.0]), 40.0, [LEFT + 30.0, RIGHT - 60.0]);
    let placed = placed(strip, &scale);
    let lanes = placed.iter().map(|place| place.lane + 1).max().unwrap_or(1);
    let axis = TOP + lanes as f64 * LANE + 14.0;
    for [tick, drop_mm] in scale.ticks_in(9.0, frame.one("mm")) {
        let x = scale.at(drop_mm);
        canvas.line("pict-seam", [x, TOP - 8.0], [x, axis]);
        canvas.text("pict-small", [x, axis + 22.0], Anchor::Middle, &words::tick(language, tick));
    }
    if let Some([drop, within]) = strip.wanted_drop_mm {
        let [from, to] = [scale.at(drop - within), scale.at(drop + within)];
        canvas.moving("pict-moves", [scale.at(1.0) - scale.at(0.0), 0.0]);
        canvas.path("pict-wanted", &Path::rect([from, TOP - 8.0], [to - from, axis - TOP + 8.0]));
        let x = scale.at(drop);
        canvas.line("pict-aim-line", [x, TOP - 14.0], [x, axis]);
        canvas.path("pict-aim", &Path::diamond([x, TOP - 18.0], 8.0));
        canvas.end();
        canvas.group("pict-told", None);
        canvas.text(
            "pict-text",
            [x, TOP - 34.0],
            words::away_from_today(drop),
            &words::wanted(language, drop),
        );
        canvas.end();
    }
    let zero = scale.at(0.0);
    canvas.line("pict-outline", [zero, TOP - 22.0], [zero, axis + 5.0]);
    let anchor =
        if strip.wanted_drop_mm.is_some_and(|[drop, _]| drop < 0.0) { Anchor::Start } else { Anchor::End };
    let anchor = if anchor == Anchor::End && zero < 260.0 { Anchor::Start } else { anchor };
    let y = if anchor == Anchor::Start { TOP - 50.0 } else { TOP - 34.0 };
    canvas.text(
        "pict-text",
        [zero, y.max(14.0)],
        anchor,
        &words::today(language, strip.today_arch_height_mm),
    );
    canvas.line("pict-outline", [LEFT, axis], [RIGHT, axis]);
    for place in &placed {
        mark(&mut canvas, &scale, place);
    }
    canvas.text("pict-small", [LEFT, axis + 46.0], Anchor::Start, words::higher(language));
    canvas.text("pict-small", [RIGHT, axis + 46.0], Anchor::End, words::lower(language));
    canvas.text("pict-small", [500.0, axis + 46.0], Anchor::Middle, &frame.bare(words::axis(language), "mm"));
    canvas.text("pict-small", [500.0, axis + 72.0], Anchor::Middle, words::legend(language));
    let said =
        Said { title: words::title(language, strip), description: words::description(language, strip) };
    canvas.finish_with_links("pict-strip", [0.0, 0.0, 1000.0, axis + 84.0], &said)
}

/// A mark in its lane, with its label right of it or, where there is no room, left.
struct Placed<'a> {
    mark: &'a StripMark,
    lane: usize,
    label: String,
    label_is_left: bool,
}

/// Lanes from the top, each mark in the first that has room for its whisker and its label.
fn placed<'a>(strip: &'a HeightStrip, scale: &Scale) -> Vec<Placed<'a>> {
    let mut taken: Vec<Vec<[f64; 2]>> = Vec::new();
    let place = |mark: &'a StripMark| {
        let label = shortened(&mark.name, LETTERS);
        let width = 0.56 * TEXT * label.chars().count() as f64 + 12.0;
        let [low, high] = [mark.drop_mm.low, mark.drop_mm.high].map(|drop| scale.at(drop));
        let middle = scale.at(mark.drop_mm.value);
        let [from, to] = [low.min(middle - REACH) - BESIDE, high.max(middle + REACH) + BESIDE];
        let label_is_left = to + width > RIGHT;
        let extent = if label_is_left { [from - width, to] } else { [from, to + width] };
        let free = |lane: &Vec<[f64; 2]>| lane.iter().all(|[a, b]| extent[1] < *a || extent[0] > *b);
        let lane = taken.iter().position(free).unwrap_or(taken.len());
        if lane == taken.len() {
            taken.push(Vec::new());
        }
        taken[lane].push(extent);
        Placed { mark, lane, label, label_is_left }
    };
    strip.marks.iter().map(place).collect()
}

fn mark(canvas: &mut Canvas, scale: &Scale, placed: &Placed) {
    let (kit, language) = (placed.mark, canvas.language());
    let y = TOP + (placed.lane as f64 + 0.5) * LANE;
    let [low, x, high] = [kit.drop_mm.low, kit.drop_mm.value, kit.drop_mm.high].map(|drop| scale.at(drop));
    let is_out = kit.out_because.is_some();
    canvas.link(&kit.href, &words::about(language, kit));
    let [from, to] = [low.min(x - REACH), high.max(x + REACH)];
    canvas.rect("pict-touch", [from, y - 0.5 * LANE], [to - from, LANE], 0.0);
    canvas.line(if is_out { "pict-whisker pict-out" } else { "pict-whisker" }, [low, y], [high, y]);
    for end in [low, high] {
        canvas.line("pict-dimension", [end, y - 5.0], [end, y + 5.0]);
    }
    if kit.within_wishes {
        canvas.circle("pict-ring", [x, y], REACH - 1.0);
    }
    canvas.circle(if is_out { "pict-hollow" } else { "pict-dot" }, [x, y], DOT);
    let class = if is_out { "pict-text pict-weak" } else { "pict-text" };
    let beyond = if kit.within_wishes { REACH } else { DOT };
    if placed.label_is_left {
        canvas.text(class, [low.min(x - beyond) - BESIDE, y + 5.0], Anchor::End, &placed.label);
    } else {
        canvas.text(class, [high.max(x + beyond) + BESIDE, y + 5.0], Anchor::Start, &placed.label);
    }
    canvas.end();
}
