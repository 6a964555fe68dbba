//! A drawing being written: elements with classes and presentation attributes, every text escaped.

use std::fmt::Write;

use workshop::facts::Language;
use workshop::figure::Figure;
use workshop::units::Units;
use workshop::wording::Manner;

use crate::words;

/// Language of a drawing, the units of its axes, and the name that sets its identifiers apart from those of other drawings on the page.
#[derive(Debug, Clone, Copy)]
pub struct Frame<'a> {
    /// Language of its words.
    pub language: Language,
    /// Units of numbers that stand without one; figures with their unit stay metric, as sentences do. What is set and
    /// read at collars is told in both.
    pub units: Units,
    /// Letters, digits and hyphens; anything else is left out.
    pub name: &'a str,
}

impl Frame<'_> {
    /// How much of a metric unit one of the units of the axes is.
    pub(crate) fn one(&self, metric: &str) -> f64 {
        self.units.instead_of(metric).map_or(1.0, |unit| unit.is)
    }

    /// A number, or the name of an axis, in the units of the axes.
    pub(crate) fn bare(&self, text: &str, metric: &str) -> String {
        self.manner().cell(text, metric)
    }

    pub(crate) fn manner(&self) -> Manner {
        Manner { units: self.units, ..self.language.into() }
    }
}

/// What is read instead of a drawing.
pub(crate) struct Said {
    pub(crate) title: String,
    pub(crate) description: String,
}

/// Where a text stands against its point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// Distance between the lines of a hatching, in sizes of text.
const HATCHING_APART: f64 = 0.16;

/// A point of the drawing, x to the right, y down.
pub(crate) type Point = [f64; 2];

/// A drawing being written.
///
/// Widths of lines and sizes of texts follow the size of its text, whatever its unit is.
pub(crate) struct Canvas<'a> {
    frame: Frame<'a>,
    name: String,
    text_size: f64,
    body: String,
    /// Whether every number so far was one.
    sound: bool,
    open: Vec<&'static str>,
}

/// Text with what means something to XML replaced, and what XML cannot hold left out.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            '\u{0}'..='\u{1f}' | '\u{7f}'..='\u{9f}' | '\u{fffe}' | '\u{ffff}' => {}
            _ => out.push(c),
        }
    }
    out
}

/// A text of so many letters at most, with an ellipsis where it was longer.
pub(crate) fn shortened(text: &str, letters: usize) -> String {
    if text.chars().count() <= letters {
        return text.to_owned();
    }
    let kept: String = text.chars().take(letters.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end_matches([' ', ',']))
}

/// A text in lines of so many letters at most, as far as its words allow.
pub(crate) fn wrapped(text: &str, letters: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= letters => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(shortened(word, letters)),
        }
    }
    lines
}

/// A number to a hundredth, without zeros at its end.
fn written(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

impl<'a> Canvas<'a> {
    pub(crate) fn new(frame: Frame<'a>, text_size: f64) -> Self {
        let name: String = frame.name.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').collect();
        let name =
            if name.starts_with(|c: char| c.is_ascii_alphabetic()) { name } else { format!("p{name}") };
        let mut canvas = Self { frame, name, text_size, body: String::new(), sound: true, open: Vec::new() };
        canvas.define_hatching();
        canvas
    }

    pub(crate) fn language(&self) -> Language {
        self.frame.language
    }

    pub(crate) fn frame(&self) -> Frame<'a> {
        self.frame
    }

    /// Numbers that are told in words alone: one that is none leaves nothing drawn.
    pub(crate) fn tells(&mut self, numbers: impl IntoIterator<Item = f64>) {
        self.sound &= numbers.into_iter().all(f64::is_finite);
    }

    /// The same of figures.
    pub(crate) fn tells_figures<'f>(&mut self, figures: impl IntoIterator<Item = &'f Figure>) {
        self.tells(figures.into_iter().flat_map(|figure| [figure.value, figure.low, figure.high]));
    }

    fn number(&mut self, value: f64) -> String {
        self.sound &= value.is_finite();
        written(value)
    }

    fn put(&mut self, element: &str, class: &str, numbers: &[(&str, f64)], rest: &str) {
        let _ = write!(self.body, "<{element} class=\"{}\"", escaped(class));
        for (name, value) in numbers {
            let value = self.number(*value);
            let _ = write!(self.body, " {name}=\"{value}\"");
        }
        self.body.push_str(rest);
        self.body.push_str("/>\n");
    }

    pub(crate) fn line(&mut self, class: &str, from: Point, to: Point) {
        self.put("line", class, &[("x1", from[0]), ("y1", from[1]), ("x2", to[0]), ("y2", to[1])], "");
    }

    pub(crate) fn rect(&mut self, class: &str, corner: Point, size: Point, rounding: f64) {
        let numbers =
            [("x", corner[0]), ("y", corner[1]), ("width", size[0].max(0.0)), ("height", size[1].max(0.0))];
        // what is no number shall not pass as zero
        self.sound &= size.iter().all(|side| side.is_finite());
        self.put("rect", class, &[numbers.as_slice(), &[("rx", rounding)]].concat(), "");
    }

    pub(crate) fn circle(&mut self, class: &str, centre: Point, radius: f64) {
        self.put("circle", class, &[("cx", centre[0]), ("cy", centre[1]), ("r", radius)], "");
    }

    pub(crate) fn ellipse(&mut self, class: &str, centre: Point, radii: Point) {
        let numbers = [("cx", centre[0]), ("cy", centre[1]), ("rx", radii[0]), ("ry", radii[1])];
        self.put("ellipse", class, &numbers, "");
    }

    pub(crate) fn path(&mut self, class: &str, path: &Path) {
        self.path_in(class, path, None);
    }

    /// A path filled with the hatching of this drawing.
    pub(crate) fn hatched(&mut self, class: &str, path: &Path) {
        let hatching = format!("{}-hatch", self.name);
        self.path_in(class, path, Some(&hatching));
    }

    fn path_in(&mut self, class: &str, path: &Path, pattern: Option<&str>) {
        self.sound &= path.is_sound();
        let fill = pattern.map(|pattern| format!(" fill=\"url(#{pattern})\"")).unwrap_or_default();
        let _ = writeln!(self.body, "<path class=\"{}\"{fill} d=\"{}\"/>", escaped(class), path.written());
    }

    pub(crate) fn text(&mut self, class: &str, at: Point, anchor: Anchor, text: &str) {
        let (x, y) = (self.number(at[0]), self.number(at[1]));
        let anchor = match anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        };
        let (class, text) = (escaped(class), escaped(text));
        let _ = writeln!(self.body, "<text class=\"{class}\" x=\"{x}\" y=\"{y}\"{anchor}>{text}</text>");
    }

    /// Hatching for [`Canvas::hatched`].
    fn define_hatching(&mut self) {
        let apart = HATCHING_APART * self.text_size;
        let (name, side, width) = (self.name.clone(), self.number(apart), self.number(0.3 * apart));
        let _ = writeln!(
            self.body,
            "<defs><pattern id=\"{name}-hatch\" width=\"{side}\" height=\"{side}\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(40)\"><line class=\"pict-hatch\" x1=\"0\" y1=\"0\" x2=\"0\" y2=\"{side}\" stroke-width=\"{width}\"/></pattern></defs>"
        );
    }

    /// A clipping outline of a name.
    pub(crate) fn define_clip(&mut self, clip: &str, path: &Path) {
        self.sound &= path.is_sound();
        let _ = writeln!(
            self.body,
            "<defs><clipPath id=\"{}-{clip}\"><path d=\"{}\"/></clipPath></defs>",
            self.name,
            path.written()
        );
    }

    /// A group; what follows is in it until [`Canvas::end`].
    pub(crate) fn group(&mut self, class: &str, clip: Option<&str>) {
        let clip = clip.map(|clip| format!(" clip-path=\"url(#{}-{clip})\"", self.name)).unwrap_or_default();
        let _ = writeln!(self.body, "<g class=\"{}\"{clip}>", escaped(class));
        self.open.push("g");
    }

    /// A group that a page may move while somebody slides the wish: so far for each millimetre lower. What follows is in
    /// it until [`Canvas::end`].
    pub(crate) fn moving(&mut self, class: &str, per_mm: Point) {
        let [x, y] = per_mm.map(|reach| self.number(reach));
        let class = escaped(class);
        let _ = writeln!(self.body, "<g class=\"{class}\" data-x-per-mm=\"{x}\" data-y-per-mm=\"{y}\">");
        self.open.push("g");
    }

    /// A link; what follows is in it until [`Canvas::end`]. An address that would run a script is not followed.
    pub(crate) fn link(&mut self, href: &str, title: &str) {
        let (href, title) = (escaped(local(href)), escaped(title));
        let _ = writeln!(self.body, "<a class=\"pict-link\" href=\"{href}\"><title>{title}</title>");
        self.open.push("a");
    }

    pub(crate) fn end(&mut self) {
        if let Some(element) = self.open.pop() {
            let _ = writeln!(self.body, "</{element}>");
        }
    }

    /// The finished drawing, of which a text-only reader is told what it shows.
    pub(crate) fn finish(self, kind: &str, view: [f64; 4], said: &Said) -> String {
        self.finished("img", kind, view, said)
    }

    /// The same, of which a text-only reader can also reach the links.
    pub(crate) fn finish_with_links(self, kind: &str, view: [f64; 4], said: &Said) -> String {
        self.finished("group", kind, view, said)
    }

    fn finished(mut self, role: &str, kind: &str, view: [f64; 4], said: &Said) -> String {
        while !self.open.is_empty() {
            self.end();
        }
        let language = self.language().pick("en", "de");
        if !self.sound || view.iter().any(|number| !number.is_finite()) {
            return not_drawn(self.frame, &self.name);
        }
        let [x, y, width, height] = view.map(written);
        let (title, description) = (escaped(&said.title), escaped(&said.description));
        let (name, size) = (&self.name, written(self.text_size));
        format!(
            "<svg class=\"pict {kind}\" xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{x} {y} {width} {height}\" font-size=\"{size}\" role=\"{role}\" aria-labelledby=\"{name}-title {name}-desc\" lang=\"{language}\">\n<title id=\"{name}-title\">{title}</title>\n<desc id=\"{name}-desc\">{description}</desc>\n{}</svg>\n",
            self.body
        )
    }
}

/// What stands in place of a drawing with a figure that is no number.
fn not_drawn(frame: Frame, name: &str) -> String {
    let (title, words) = (words::not_drawn(frame.language), words::not_drawn_because(frame.language));
    format!(
        "<svg class=\"pict\" xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 600 60\" font-size=\"18\" role=\"img\" aria-labelledby=\"{name}-title {name}-desc\" lang=\"{}\">\n<title id=\"{name}-title\">{title}</title>\n<desc id=\"{name}-desc\">{words}</desc>\n<text class=\"pict-text\" x=\"10\" y=\"36\">{title}</text>\n</svg>\n",
        frame.language.pick("en", "de")
    )
}

/// An address within this site, or one that goes nowhere.
fn local(href: &str) -> &str {
    let within = href.starts_with(['/', '#', '?']) && !href.starts_with("//");
    if within && !href.contains(|c: char| c.is_control() || c == '\\') { href } else { "#" }
}

/// An outline.
#[derive(Clone)]
pub(crate) struct Path {
    steps: Vec<Step>,
}

#[derive(Clone)]
enum Step {
    /// Command and its points.
    Points(char, Vec<Point>),
    /// The longer arc, clockwise, of a radius.
    Arc(f64, Point),
    Close,
}

impl Path {
    pub(crate) fn from(at: Point) -> Self {
        Self { steps: vec![Step::Points('M', vec![at])] }
    }

    fn with(mut self, step: Step) -> Self {
        self.steps.push(step);
        self
    }

    pub(crate) fn to(self, at: Point) -> Self {
        self.with(Step::Points('L', vec![at]))
    }

    /// A curve by two control points.
    pub(crate) fn curve(self, first: Point, second: Point, at: Point) -> Self {
        self.with(Step::Points('C', vec![first, second, at]))
    }

    /// A rounded corner: a curve that leaves towards `corner` and arrives from it.
    pub(crate) fn round(self, corner: Point, at: Point) -> Self {
        self.with(Step::Points('Q', vec![corner, at]))
    }

    /// The longer arc of a circle, clockwise.
    pub(crate) fn around(self, radius: f64, at: Point) -> Self {
        self.with(Step::Arc(radius, at))
    }

    /// Straight through several points.
    pub(crate) fn through(self, points: &[Point]) -> Self {
        points.iter().fold(self, |path, &at| path.to(at))
    }

    pub(crate) fn on_from(self, at: Point) -> Self {
        self.with(Step::Points('M', vec![at]))
    }

    pub(crate) fn closed(self) -> Self {
        self.with(Step::Close)
    }

    /// A circle.
    pub(crate) fn circle([x, y]: Point, radius: f64) -> Self {
        Self::from([x - radius, y]).around(radius, [x + radius, y]).around(radius, [x - radius, y]).closed()
    }

    /// A square on its corner.
    pub(crate) fn diamond([x, y]: Point, reach: f64) -> Self {
        Self::from([x - reach, y]).through(&[[x, y - reach], [x + reach, y], [x, y + reach]]).closed()
    }

    /// A rectangle.
    pub(crate) fn rect([x, y]: Point, [width, height]: Point) -> Self {
        Self::from([x, y]).through(&[[x + width, y], [x + width, y + height], [x, y + height]]).closed()
    }

    /// The same with every point moved; arcs keep their radius.
    pub(crate) fn mapped(mut self, map: impl Fn(Point) -> Point) -> Self {
        for step in &mut self.steps {
            match step {
                Step::Points(_, points) => points.iter_mut().for_each(|at| *at = map(*at)),
                Step::Arc(_, at) => *at = map(*at),
                Step::Close => {}
            }
        }
        self
    }

    fn is_sound(&self) -> bool {
        let finite = |at: &Point| at.iter().all(|x| x.is_finite());
        self.steps.iter().all(|step| match step {
            Step::Points(_, points) => points.iter().all(finite),
            Step::Arc(radius, at) => radius.is_finite() && finite(at),
            Step::Close => true,
        })
    }

    fn written(&self) -> String {
        let pair = |[x, y]: &Point| format!("{} {}", written(*x), written(*y));
        let steps = self.steps.iter().map(|step| match step {
            Step::Points(command, points) => {
                format!("{command}{}", points.iter().map(pair).collect::<Vec<String>>().join(" "))
            }
            Step::Arc(radius, at) => format!("A{r} {r} 0 1 1 {}", pair(at), r = written(*radius)),
            Step::Close => "Z".to_owned(),
        });
        steps.collect::<Vec<String>>().join(" ")
    }
}
