//! A page as the person who asked for it reads figures: pages are written metric, in the numbers of their language, and
//! become here what that person has chosen.
//!
//! What an element says of itself decides: `lang` in which language its numbers are written, `data-in` the unit of bare
//! numbers, `data-both` that the metric figure stays and the other stands in brackets behind it, `data-as-written` that
//! somebody's own words, or a document, stay as they are. Boxes are filled by whoever makes them.

use std::borrow::Cow;

use workshop::wording::Manner;

use crate::caller::named_language;

/// Elements without an end.
const VOID: [&str; 7] = ["input", "br", "meta", "link", "img", "hr", "wbr"];
/// Elements whose text is no sentence of ours.
const NOT_OURS: [&str; 4] = ["script", "style", "textarea", "pre"];

/// How text is told within an element.
#[derive(Clone)]
struct Within<'a> {
    /// The element, and how many of its name are open since.
    name: &'a str,
    depth: usize,
    manner: Manner,
    stays: bool,
    both: bool,
    unit: &'a str,
    /// Names with measures in them, and how they stay what they are.
    names: &'a [[String; 2]],
}

impl Within<'_> {
    fn told(&self, text: &str) -> String {
        if self.stays {
            return text.to_owned();
        }
        let named = self.names.iter().filter(|[name, _]| text.contains(name.as_str()));
        let named = named.fold(Cow::Borrowed(text), |text, [name, kept]| text.replace(name, kept).into());
        let text = named.as_ref();
        match (self.unit, self.both) {
            ("", false) => self.manner.sentence(text),
            ("", true) => self.manner.sentence_beside(text),
            (unit, false) => self.manner.cell(text, unit),
            (unit, true) => self.manner.cell_beside(text, unit),
        }
    }

    /// The same within an element of it, where that says anything of its own.
    fn inner<'a>(&self, name: &'a str, tag: &'a str) -> Option<Within<'a>>
    where
        Self: 'a,
    {
        let (lang, unit) = (attribute(tag, "lang"), attribute(tag, "data-in"));
        let stays = NOT_OURS.contains(&name) || tag.contains(" data-as-written");
        let both = tag.contains(" data-both");
        if lang.is_none() && unit.is_none() && !stays && !both {
            return None;
        }
        let language = lang.map_or(self.manner.language, named_language);
        Some(Within {
            name,
            depth: 1,
            manner: Manner { language, ..self.manner },
            stays: self.stays || stays,
            both: self.both || both,
            unit: unit.unwrap_or_default(),
            names: self.names,
        })
    }
}

/// The page as this person reads it; names with measures in them stay.
pub(crate) fn as_read(html: &str, manner: Manner, names: &[[String; 2]]) -> String {
    let page = Within { name: "", depth: 1, manner, stays: false, both: false, unit: "", names };
    let mut open = vec![page];
    let mut out = String::with_capacity(html.len() + html.len() / 16);
    let mut rest = html;
    while let Some(within) = open.last().cloned() {
        let Some(at) = rest.find('<') else {
            out += &within.told(rest);
            break;
        };
        let (text, from_tag) = rest.split_at(at);
        out += &within.told(text);
        let (tag, after) = from_tag.split_at(end_of_tag(from_tag));
        rest = after;
        if let Some(name) = tag.strip_prefix("</") {
            let name = name.trim_end_matches('>').trim();
            out += tag;
            // the page itself is never closed
            if let [_, .., last] = open.as_mut_slice()
                && last.name == name
            {
                last.depth -= 1;
                if last.depth == 0 {
                    open.pop();
                }
            }
            continue;
        }
        let name = tag[1..].split(|c: char| c.is_whitespace() || "/>".contains(c)).next().unwrap_or_default();
        let inner = within.inner(name, tag);
        out += &with_label(tag, inner.as_ref().unwrap_or(&within));
        if VOID.contains(&name) || tag.ends_with("/>") {
            continue;
        }
        match (inner, open.last_mut()) {
            (Some(inner), _) => open.push(inner),
            (None, Some(last)) if last.name == name => last.depth += 1,
            (None, _) => {}
        }
    }
    out
}

/// Where a tag ends, whatever stands in its attributes.
fn end_of_tag(text: &str) -> usize {
    if text.starts_with("<!--") {
        return text.find("-->").map_or(text.len(), |at| at + 3);
    }
    let mut quoted = false;
    for (at, c) in text.char_indices() {
        match c {
            '"' => quoted = !quoted,
            '>' if !quoted => return at + 1,
            _ => {}
        }
    }
    text.len()
}

fn attribute<'a>(tag: &'a str, name: &str) -> Option<&'a str> {
    let at = tag.find(&format!(" {name}=\""))?;
    tag[at..].split('"').nth(1)
}

/// A tag with what it says to those who do not see the page.
fn with_label(tag: &str, within: &Within) -> String {
    match attribute(tag, "aria-label") {
        Some(label) if !label.is_empty() => {
            let whole = format!("aria-label=\"{label}\"");
            tag.replacen(&whole, &format!("aria-label=\"{}\"", within.told(label)), 1)
        }
        _ => tag.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use workshop::facts::Language;
    use workshop::units::Units;
    use workshop::wording::DecimalSign;

    use super::*;

    fn inches() -> Manner {
        Manner { units: Units::Inches, ..Language::English.into() }
    }

    #[test]
    fn law_an_element_says_how_its_text_is_told() {
        let told = [
            ("<p>12 mm</p>", "<p>0.47 in</p>"),
            ("<td data-in=\"mm\">12 <b>3</b></td> 5", "<td data-in=\"mm\">0.47 <b>0.12</b></td> 5"),
            ("<p lang=\"de\">1,5 mm</p> 1.5 mm", "<p lang=\"de\">0,059 Zoll</p> 0.059 in"),
            ("<div data-both>12 mm</div>", "<div data-both>12 mm (0.47 in)</div>"),
            (
                "<q data-as-written>12 mm<q>1 mm</q>2 mm</q> 1 mm",
                "<q data-as-written>12 mm<q>1 mm</q>2 mm</q> 0.04 in",
            ),
            ("</>12 mm", "</>0.47 in"),
            ("<textarea>12 mm</textarea>", "<textarea>12 mm</textarea>"),
            (
                "<input value=\"12 mm\" aria-label=\"12 mm > 3\"> 1 mm",
                "<input value=\"12 mm\" aria-label=\"0.47 in > 3\"> 0.04 in",
            ),
        ];
        for (page, read) in told {
            assert_eq!(as_read(page, inches(), &[]), read);
        }
    }

    #[test]
    fn law_a_mass_in_the_name_of_a_grade_stays() {
        let name = "Sorvel long, 3050 kg".to_owned();
        let names = [[name.clone(), Manner::kept_name(&name)]];
        let page = "<option>Sorvel long, 3050 kg</option> plate 3050 kg";
        let read = as_read(page, inches(), &names).replace('\u{a0}', " ");
        assert_eq!(read, "<option>Sorvel long, 3050 kg</option> plate 6724 lb");
    }

    proptest! {
        #[test]
        fn law_any_text_is_read_and_tags_stay(text in "[<>/\"a-z0-9 ,.=&;-]{0,60}") {
            prop_assert_eq!(as_read(&text, Language::English.into(), &[]), text.clone());
            let comma = Manner { decimal: Some(DecimalSign::Comma), ..inches() };
            prop_assert!(as_read(&text, comma, &[]).matches('<').count() == text.matches('<').count());
        }
    }
}
