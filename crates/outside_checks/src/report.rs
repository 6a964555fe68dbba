//! The checks as a page of Markdown.

use std::fmt::Write;

use crate::{Check, Tolerance, subjects};

const HEADER: &str = "\
# Outside checks

Every figure below stands beside the one that Archgap gives for the same inputs. None of the outside
figures was produced by Archgap: they come from books and standards, or were computed anew by independent solutions
with general-purpose libraries (scipy, CasADi and others), mostly by two ways that agree.

*Mark* says how the outside figure was come by:

- **verified**: the figure or its formula was read in a public copy of the source;
- **recomputed**: computed afresh with general-purpose libraries;
- **verified+recomputed**, **verified inputs+recomputed**: read, and computed afresh from what was read;
- **memory inputs+recomputed**: the relation is quoted from memory, the figure computed afresh;
- **from memory**: not seen in a copy; it confirms, but no figure of Archgap rests on it alone.

A row named *largest difference* stands for a whole table: it shows the row that fits worst. Figures are printed to
one digit more than the tolerance resolves, so that this page is the same on every machine. Many outside figures are
themselves rounded to the digit before: where the difference is half of that digit, it is their rounding.

The page is written by the program. After a change, `cargo test --release -p outside_checks` compares it with what is
computed now; `ARCHGAP_UPDATE_DOCS=1 cargo test --release -p outside_checks` writes it again.
";

const NOT_COVERED: &str = "\
## Not covered

- Worked examples of coil-spring stress, solid length, buckling and surge: Archgap computes rates only so far.
- Leaves that join in on the way, friction between leaves, air springs of changing area: no outside case was found.
- Friction bands, bump stops, helper springs and rubber bushes: no outside case was found. They are held by laws in
  the tests of the mechanics (force is the slope of stored energy, springs in series, responses against differences
  of full solutions).
- Bars through drop links: held by the same laws.
- Tyres of growing rate; section widths on other rims, measuring rims (from memory).
- Statistical linearisation, passages of travel marks, ride on axles whose wheels are joined: laws and sums over the
  distribution. The coherence of both tracks is a model; no measured van or road is behind any figure of ride.
- Room at full lock on inclined kingpins, over travel: held by laws of the tyre's outline.
- Roll on tyres that yield: held by the balance of moments of each axle and of the whole van.
";

/// The whole report, Markdown.
pub fn report() -> String {
    let subjects = subjects();
    let all: Vec<&Check> = subjects.iter().flat_map(|(_, checks)| checks).collect();
    let holding = all.iter().filter(|check| check.holds()).count();
    let mut page = HEADER.to_string();
    // writing to a String cannot fail
    let _ = writeln!(page, "\n{holding} of {} checks hold.", all.len());
    for (subject, checks) in &subjects {
        let _ = writeln!(page, "\n## {subject}");
        for case in checks.chunk_by(|a, b| a.id == b.id && a.source == b.source && a.mark == b.mark) {
            write_case(&mut page, case);
        }
    }
    let _ = write!(page, "\n{NOT_COVERED}");
    page
}

fn write_case(page: &mut String, case: &[Check]) {
    let Some(first) = case.first() else { return };
    let _ = writeln!(page, "\n**{}.** Source: {}. Mark: **{}**.\n", first.id, first.source, first.mark);
    page.push_str("| quantity | unit | expected | got | difference | tolerance | holds |\n");
    page.push_str("| --- | --- | ---: | ---: | ---: | ---: | --- |\n");
    for check in case {
        let digits = digits(check);
        let difference = check.got - check.expected;
        let _ = writeln!(
            page,
            "| {} | {} | {} | {} | {} | {} | {} |",
            check.what,
            check.unit,
            rounded(check.expected, digits),
            rounded(check.got, digits),
            rounded(difference, digits),
            tolerance(check.tolerance),
            if check.holds() { "yes" } else { "**no**" },
        );
    }
}

/// Digits after the point: one more than the tolerance resolves, at most 12.
fn digits(check: &Check) -> usize {
    let allowed = check.tolerance.allowed(check.expected);
    // the added 1e-9 keeps log10(1e-3), which is not exactly -3, from costing a digit
    let resolved = (-allowed.log10() - 1e-9).ceil();
    resolved.clamp(0.0, 11.0) as usize + 1
}

/// A figure with so many digits after the point; zero without a sign.
fn rounded(figure: f64, digits: usize) -> String {
    let text = format!("{figure:.digits$}");
    let is_zero = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    if is_zero { text.trim_start_matches('-').to_string() } else { text }
}

fn tolerance(tolerance: Tolerance) -> String {
    match tolerance {
        Tolerance::Absolute(allowed) => format!("{allowed:e}"),
        Tolerance::Relative(share) => format!("{share:e} of it"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_figures_are_printed_one_digit_beyond_the_tolerance() {
        let check = |allowed: f64| Check {
            id: "-",
            what: String::new(),
            source: "-",
            mark: "-",
            unit: "mm",
            expected: 26.3966,
            got: 26.39661,
            tolerance: Tolerance::Absolute(allowed),
        };
        assert_eq!(digits(&check(1e-3)), 4);
        assert_eq!(digits(&check(0.05)), 3);
        assert_eq!(digits(&check(5.0)), 1);
        assert_eq!(digits(&check(0.0)), 12);
        assert_eq!(rounded(-1e-9, 4), "0.0000");
        assert_eq!(rounded(-0.0123, 3), "-0.012");
    }
}
