//! What the van carries, where, and what stands on each wheel.

use askama::Template;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use picture::LoadPlan;
use serde::Deserialize;
use store::Id;
use workshop::answer::{KnownVan, StateWeight};
use workshop::catalogue::Catalogue;
use workshop::enquiry::Enquiry;
use workshop::facts::Language;
use workshop::figure::Figure;
use workshop::load_list::{LoadState, MASS_EVIDENCE};
use workshop::typed::read_typed_in;
use workshop::wording::{
    Manner, axle_named, corner, evidence, load_state, ranged, unexplained, weighed, whole,
};

use super::super::form::Posted;
use super::super::words::PageWords;
use super::super::{CORNERS, Frame, page, to};
use super::load_boxes::{AXLES, NUMBERS, Writing, YES, item_box, scale_box, values_of};
use super::questions::{Choice, Values};
use super::{Seen, seen, written};
use crate::answers::{self, Unanswered};
use crate::app::App;
use crate::caller::{Caller, Writer};
use crate::extract::At;
use crate::problem::{Handled, Problem};
use crate::secrets::secret;

/// A box of a number.
struct Cell {
    name: String,
    /// Said to those who do not see the head of the column.
    label: String,
    value: String,
    was: String,
    fault: String,
    understood: String,
}

/// A box to tick.
struct Tick {
    name: String,
    label: String,
    ticked: bool,
    was: String,
    fault: String,
}

/// One line of the load list.
struct Row {
    place: usize,
    /// Tells it from the others.
    key: String,
    name: String,
    numbers: Vec<Cell>,
    evidence: Vec<Choice>,
    evidence_name: String,
    evidence_was: String,
    states: Vec<Tick>,
    remove: Tick,
    /// Where it is aboard in the state that is drawn.
    drawn: bool,
}

/// What comes with the van's furnishing or trailer: looked at here, not changed.
struct Further {
    name: String,
    mass: String,
    place: String,
    states: String,
}

/// A figure in the table.
struct Line {
    name: String,
    figure: &'static str,
    corner: Option<&'static str>,
    value: String,
    evidence: &'static str,
    plate: String,
    left: String,
    stop: &'static str,
}

/// What is computed.
struct Figures {
    plan: String,
    lines: Vec<Line>,
    /// Centre of gravity: what, name of the figure, where, evidence.
    centre: Vec<(&'static str, &'static str, String, &'static str)>,
    weighed: Vec<String>,
    /// States to choose from.
    states: Vec<(&'static str, &'static str, bool)>,
}

#[derive(Template)]
#[template(path = "loads.html")]
struct LoadsPage {
    f: Frame,
    id: Id,
    title: String,
    state: &'static str,
    rows: Vec<Row>,
    further: Vec<Further>,
    listed: Vec<Choice>,
    new_name: Cell,
    new_numbers: Vec<Cell>,
    new_states: Vec<Tick>,
    scales: Vec<(&'static str, Vec<Cell>)>,
    scale_heads: Vec<String>,
    state_heads: Vec<&'static str>,
    figures: Option<Figures>,
    fault: String,
    not_saved: Vec<(String, String)>,
    key: String,
}

/// Which load state is looked at.
#[derive(Deserialize, Default)]
pub(crate) struct Looked {
    state: Option<String>,
}

impl Looked {
    fn state(&self) -> Option<(&'static str, LoadState)> {
        LoadState::CHOICES.into_iter().find(|(name, _)| Some(*name) == self.state.as_deref())
    }

    fn place(&self, id: &Id) -> String {
        let state = self.state().map(|(name, _)| format!("?state={name}"));
        format!("/enquiries/{id}/loads{}", state.unwrap_or_default())
    }
}

/// `GET /enquiries/{id}/loads`
pub(crate) async fn show(
    State(app): State<App>,
    f: Frame,
    At(id): At,
    Query(looked): Query<Looked>,
) -> Handled<Response> {
    let seen = seen(&app, f, &id).await?;
    shown(&app, seen, &looked, (&Values::new(), &Values::new()), StatusCode::OK).await
}

async fn shown(
    app: &App,
    seen: Seen,
    looked: &Looked,
    (typed, faults): (&Values, &Values),
    status: StatusCode,
) -> Handled<Response> {
    let (language, manner) = (seen.f.language(), seen.f.reads);
    let enquiry = answers::enquiry(&seen.read.catalogue, &seen.kept.body.document)?;
    let (name, state) = looked.state().unwrap_or_else(|| wished(&enquiry));
    let figures = {
        let (read, enquiry) = (std::sync::Arc::clone(&seen.read), enquiry.clone());
        app.compute(move || figures(&read.catalogue, &enquiry, state, manner)).await
    };
    let (figures, fault) = match figures.and_then(|figures| figures.map_err(Problem::from)) {
        Ok(figures) => (Some(figures), String::new()),
        Err(problem) => (None, problem.detail(language).to_owned()),
    };
    let key = secret()?;
    let values = values_of(&seen.text, &enquiry, manner);
    let boxes = Boxes { w: seen.f.w, language, manner, values: &values, typed, faults };
    let listed = seen.text.item_count();
    let rows = (0..listed).map(|place| boxes.row(&seen, &enquiry, place, state)).collect();
    let further = enquiry.items.iter().skip(listed).map(|carried| further(carried, language)).collect();
    let new_label = |field: &str| format!("{}, {}", seen.f.w.new_item, boxes.label(field));
    let new_numbers =
        NUMBERS.map(|(field, ..)| boxes.cell(format!("new-{field}"), new_label(field), Some(field)));
    let new_states = LoadState::CHOICES.map(|(name, of)| {
        let name = format!("new-{name}");
        let label = format!("{}, {}", seen.f.w.new_item, load_state(language, of));
        let ticked = typed.get(&name).is_some_and(|value| value == YES);
        Tick { label, ticked, was: String::new(), fault: boxes.fault(&name), name }
    });
    let scales = LoadState::CHOICES.map(|(name, of)| {
        let cell = |wheels: &str, said: &str| {
            let label = format!("{}: {said}, {}", load_state(language, of), seen.f.unit("kg"));
            boxes.cell(scale_box(name, wheels), label, Some("mass_kg"))
        };
        let axles = AXLES.map(|axle| cell(axle, axle_named(language, axle)));
        let corners: [Cell; 4] = std::array::from_fn(|n| cell(CORNERS[n], corner(language, n)));
        (load_state(language, of), axles.into_iter().chain(corners).collect::<Vec<Cell>>())
    });
    let shown = LoadsPage {
        title: seen.kept.body.caller.clone(),
        id: seen.kept.id.clone(),
        state: name,
        rows,
        further,
        listed: listed_items(&seen, typed),
        new_name: boxes.cell("new-name".into(), new_label("name"), None),
        new_numbers: new_numbers.into(),
        new_states: new_states.into(),
        scales: scales.into(),
        scale_heads: AXLES
            .iter()
            .map(|axle| axle_named(language, axle).to_owned())
            .chain((0..4).map(|n| corner(language, n).to_owned()))
            .collect(),
        state_heads: LoadState::CHOICES.map(|(_, of)| load_state(language, of)).into(),
        figures,
        fault,
        not_saved: faults.iter().map(|(name, fault)| (name.clone(), fault.clone())).collect(),
        key,
        f: seen.f,
    };
    Ok(page(status, &shown))
}

fn wished(enquiry: &Enquiry) -> (&'static str, LoadState) {
    let wished = LoadState::CHOICES.into_iter().find(|(_, state)| *state == enquiry.wish.state);
    wished.unwrap_or(LoadState::CHOICES[1])
}

fn listed_items(seen: &Seen, typed: &Values) -> Vec<Choice> {
    let chosen = typed.get("new-item").map_or("", String::as_str);
    let listed = seen.read.catalogue.load_items.iter().map(|item| (item.id.clone(), item.item.name.clone()));
    [(String::new(), seen.f.w.own_item.to_owned())]
        .into_iter()
        .chain(listed)
        .map(|(value, words)| Choice { chosen: value == chosen, value, words })
        .collect()
}

fn further(carried: &workshop::load_list::CarriedItem, language: Language) -> Further {
    let item = &carried.item;
    let place = &item.place;
    let mm = [place.behind_front_axle_mm, place.left_of_centre_mm, place.above_ground_mm];
    Further {
        name: item.name.clone(),
        mass: format!("{} ± {} kg", whole(item.mass_kg), whole(item.plus_minus_kg)),
        place: mm.map(whole).join(" / "),
        states: carried
            .states
            .iter()
            .map(|state| load_state(language, *state))
            .collect::<Vec<_>>()
            .join(", "),
    }
}

/// What the boxes are made from.
struct Boxes<'a> {
    w: &'static PageWords,
    language: Language,
    manner: Manner,
    values: &'a Values,
    typed: &'a Values,
    faults: &'a Values,
}

impl Boxes<'_> {
    fn fault(&self, name: &str) -> String {
        self.faults.get(name).cloned().unwrap_or_default()
    }

    /// Said in the unit of the box.
    fn label(&self, field: &str) -> String {
        let unit = if field.ends_with("_kg") { "kg" } else { "mm" };
        let said = match field {
            "mass_kg" => self.w.mass_kg,
            "plus_minus_kg" => self.w.plus_minus_kg,
            "behind_front_axle_mm" => self.w.behind_mm,
            "left_of_centre_mm" => self.w.left_mm,
            "above_ground_mm" => self.w.above_mm,
            _ => self.w.name,
        };
        self.manner.cell(said, unit)
    }

    /// A box; that of a number tells back what was understood.
    fn cell(&self, name: String, label: String, field: Option<&str>) -> Cell {
        let was = self.values.get(&name).cloned().unwrap_or_default();
        let value = self.typed.get(&name).cloned().unwrap_or_else(|| was.clone());
        let number = NUMBERS.into_iter().find(|(known, ..)| Some(*known) == field);
        let told = number.and_then(|(_, asked, range)| {
            let typed = read_typed_in(&value, asked, range, self.manner.units).ok()?;
            (typed.converted && value != was).then(|| self.manner.understood(typed, asked))
        });
        Cell { fault: self.fault(&name), name, label, value, was, understood: told.unwrap_or_default() }
    }

    fn tick(&self, name: String, label: String) -> Tick {
        let was = self.values.get(&name).cloned().unwrap_or_default();
        let value = self.typed.get(&name).unwrap_or(&was);
        Tick { ticked: value == YES, label, fault: self.fault(&name), was, name }
    }

    fn row(&self, seen: &Seen, enquiry: &Enquiry, place: usize, drawn: LoadState) -> Row {
        let carried = enquiry.items.get(place);
        let name = carried.map(|carried| carried.item.name.clone()).unwrap_or_default();
        let number = |(field, ..): (&str, _, _)| {
            self.cell(item_box(place, field), format!("{name}, {}", self.label(field)), Some(field))
        };
        let tick = |(state, of): (&str, LoadState)| {
            self.tick(item_box(place, state), format!("{name}, {}", load_state(self.language, of)))
        };
        let evidence_box = self.cell(item_box(place, "evidence"), String::new(), None);
        let choice = |(value, known): (&str, _)| Choice {
            chosen: value == evidence_box.value,
            value: value.to_owned(),
            words: evidence(self.language, known).to_owned(),
        };
        Row {
            place,
            key: seen.text.item_key(place).unwrap_or_default(),
            numbers: NUMBERS.map(number).into(),
            evidence: MASS_EVIDENCE.map(choice).into(),
            evidence_name: evidence_box.name.clone(),
            evidence_was: evidence_box.was.clone(),
            states: LoadState::CHOICES.map(tick).into(),
            remove: self.tick(item_box(place, "remove"), format!("{name}, {}", self.w.take_out)),
            drawn: carried.is_some_and(|carried| carried.states.contains(&drawn)),
            name,
        }
    }
}

fn figures(
    catalogue: &Catalogue,
    enquiry: &Enquiry,
    state: LoadState,
    manner: Manner,
) -> Result<Figures, Unanswered> {
    let language = manner.language;
    let w = super::super::words::words(language);
    let known = KnownVan::of(catalogue, enquiry)?;
    let (plan, weight) = (LoadPlan::of(&known, &known.stands_today(state)), known.weight());
    let mut lines = Vec::new();
    if let Some(of_state) = weight.states.iter().find(|weight| weight.state == state) {
        lines.extend(against_plates(of_state, &plan, w, language));
    }
    for (n, name) in CORNERS.iter().enumerate() {
        let load = &plan.corner_load_kg[n];
        lines
            .push(Line { corner: Some(name), ..line(corner(language, n), "corner_load_kg", load, language) });
    }
    let [ahead, left] = &plan.centre_of_gravity_mm;
    let centre = [
        (w.behind_mm, "centre_of_gravity_behind_front_axle_mm", ahead.clone().negated()),
        (w.left_mm, "centre_of_gravity_left_of_centre_mm", left.clone()),
    ];
    let centre =
        centre.map(|(what, name, figure)| (what, name, ranged(&figure), evidence(language, figure.evidence)));
    let wheelbase_mm = known.van.sheet.wheelbase_mm;
    let said = weight
        .weighed
        .iter()
        .flat_map(|scales| [weighed(language, scales), unexplained(language, scales, wheelbase_mm)]);
    Ok(Figures {
        weighed: said.collect(),
        plan: picture::load_plan(&plan, &picture::Frame { language, units: manner.units, name: "plan" }),
        lines,
        centre: centre.into(),
        states: LoadState::CHOICES.map(|(name, of)| (name, load_state(language, of), of == state)).into(),
    })
}

fn line(name: &str, figure: &'static str, load: &Figure, language: Language) -> Line {
    Line {
        name: name.to_owned(),
        figure,
        corner: None,
        value: ranged(load),
        evidence: evidence(language, load.evidence),
        plate: String::new(),
        left: String::new(),
        stop: "",
    }
}

/// Axles and the whole van, each with its plate and what is left to it.
fn against_plates(weight: &StateWeight, plan: &LoadPlan, w: &PageWords, language: Language) -> [Line; 3] {
    let with_plate = |line: Line, plate_kg: f64, margin: &Figure| Line {
        plate: whole(plate_kg),
        left: ranged(margin),
        stop: if margin.value < 0.0 {
            w.over_plate
        } else if margin.low < 0.0 {
            w.may_be_over
        } else {
            ""
        },
        ..line
    };
    let axle = |n: usize, at: &'static str| {
        let axle = line(axle_named(language, AXLES[n]), "axle_load_kg", &weight.axle_load_kg[n], language);
        with_plate(Line { corner: Some(at), ..axle }, plan.plated_axle_kg[n], &weight.axle_margin_kg[n])
    };
    let gross = line(w.gross, "gross_kg", &weight.gross_kg, language);
    [
        axle(0, CORNERS[0]),
        axle(1, CORNERS[2]),
        with_plate(gross, plan.plated_gross_kg, &weight.gross_margin_kg),
    ]
}

/// `POST /enquiries/{id}/loads`: each box written where it was changed; what others changed meanwhile stays.
pub(crate) async fn keep(
    State(app): State<App>,
    caller: Caller,
    f: Frame,
    At(id): At,
    Query(looked): Query<Looked>,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    let mut seen = seen(&app, f, &id).await?;
    let (language, w, manner) = (seen.f.language(), seen.f.w, seen.f.boxes_of(&posted));
    seen.f.reads = manner;
    let enquiry = answers::enquiry(&seen.read.catalogue, &seen.kept.body.document)?;
    let current = values_of(&seen.text, &enquiry, manner);
    let mut writing =
        Writing { text: seen.text.clone(), faults: Values::new(), manner, w, current: &current };
    writing.write(&posted);
    let Writing { text, mut faults, .. } = writing;
    let document = text.to_string();
    if faults.is_empty()
        && let Err(why) = answers::enquiry(&seen.read.catalogue, &document)
    {
        faults.insert("items".to_owned(), Problem::from(why).detail(language).to_owned());
    }
    if faults.is_empty() {
        match written(&app, &posted.keyed(by, &caller), seen, document).await? {
            Ok(()) => return Ok(to(&looked.place(&id))),
            Err(anew) => seen = anew,
        }
        faults.insert("items".to_owned(), w.answer_again.to_owned());
    }
    let typed = typed_boxes(&posted, &seen);
    shown(&app, seen, &looked, (&typed.values, &typed.faults(faults)), StatusCode::UNPROCESSABLE_ENTITY).await
}

/// What was typed, under the names that the boxes have now that the list may have moved.
struct TypedBoxes {
    values: Values,
    moved: Vec<(String, String)>,
}

impl TypedBoxes {
    fn faults(&self, faults: Values) -> Values {
        let now = |name: String| {
            self.moved.iter().find(|(then, _)| *then == name).map(|(_, now)| now.clone()).unwrap_or(name)
        };
        faults.into_iter().map(|(name, fault)| (now(name), fault)).collect()
    }
}

fn typed_boxes(posted: &Posted, seen: &Seen) -> TypedBoxes {
    let mut typed = TypedBoxes { values: Values::new(), moved: Vec::new() };
    for change in posted.changed() {
        let now = moved(posted, seen, change.name).unwrap_or_else(|| change.name.to_owned());
        typed.moved.push((change.name.to_owned(), now.clone()));
        typed.values.insert(now, change.now.to_owned());
    }
    let states = LoadState::CHOICES.map(|(name, _)| name);
    let fields = ["item", "name"].into_iter().chain(NUMBERS.map(|(field, ..)| field)).chain(states);
    for name in fields.map(|field| format!("new-{field}")) {
        let value = posted.get(&name).to_owned();
        typed.values.insert(name, value);
    }
    typed
}

/// The box of an item where it stands now.
fn moved(posted: &Posted, seen: &Seen, name: &str) -> Option<String> {
    let (place, field) = name.strip_prefix("item-")?.split_once('-')?;
    let key = posted.get(&format!("row-{place}"));
    let now = (0..seen.text.item_count())
        .find(|now| seen.text.item_key(*now).as_deref().map(str::trim) == Some(key))?;
    Some(item_box(now, field))
}
