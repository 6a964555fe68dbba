//! Units and numbers that each person chose for their own pages.

use axum::http::StatusCode;
use serde_json::{Value, json};

use super::bay::{Bay, boxed, inputs};
use crate::common::{House, Reply, send_form, with_catalogue};

const MM_PER_INCH: f64 = 25.4;

async fn choose(house: &House, cookie: &str, chosen: &[(&str, &str)]) -> StatusCode {
    let saw = boxed(&house.get(cookie, "/me").await.text, "saw");
    let all: Vec<(&str, &str)> = [("saw", saw.as_str())].into_iter().chain(chosen.iter().copied()).collect();
    send_form(house, cookie, "/me", &all).await.status
}

const INCHES: [(&str, &str); 1] = [("units", "inches")];

/// Text that a page says itself, tags and what stays as somebody wrote it left out.
fn said(page: &str) -> String {
    let mut said = String::new();
    for part in page.split('<').skip(1) {
        let (tag, text) = part.split_once('>').unwrap_or((part, ""));
        if !tag.contains("data-as-written") && !tag.starts_with("script") {
            said += text;
            said.push('\n');
        }
    }
    said
}

/// The first figure with a metric unit.
fn metric_figure(page: &str) -> Option<String> {
    let said = said(page);
    // what a name holds together with a no-break space is part of the name
    let words: Vec<&str> = said.split_ascii_whitespace().collect();
    let is_unit = |word: &str| {
        let word = word.trim_matches(|c: char| !c.is_alphanumeric() && c != '/');
        ["mm", "kg", "N", "Nm", "N/mm", "bar", "km/h", "millimetres", "Millimeter"].contains(&word)
    };
    // a bar is a part of the van too
    let counted = |at: usize| words[at] != "bar" || words[at - 1].ends_with(|c: char| c.is_ascii_digit());
    let at = (1..words.len()).find(|at| is_unit(words[*at]) && counted(*at))?;
    Some(words[at.saturating_sub(4)..=at].join(" "))
}

async fn document(house: &House, owner: &str, enquiry: &str) -> (String, Value) {
    let kept = house.get(owner, &format!("/api/v1/enquiries/{enquiry}")).await.json();
    (kept["body"]["document"].as_str().unwrap().to_owned(), kept["version"].clone())
}

/// What is sent where nothing was touched.
fn untouched(page: &Reply) -> Vec<(String, String)> {
    let ticked: Vec<&str> = page
        .text
        .split("<input ")
        .filter(|tag| tag.split('>').next().unwrap().contains("type=\"checkbox\""))
        .collect();
    let is_off = |name: &str, value: &str| {
        value == "yes"
            && ticked.iter().any(|tag| {
                let tag = tag.split('>').next().unwrap();
                tag.contains(&format!("name=\"{name}\"")) && !tag.contains(" checked")
            })
    };
    inputs(&page.text).into_iter().filter(|(name, value)| !is_off(name, value)).collect()
}

#[tokio::test]
async fn law_whoever_chose_inches_reads_no_metric_figure_and_papers_tell_both() {
    let bay = Bay::open().await;
    let house = &bay.house;
    let enquiry = bay.enquiry.clone();
    let record = bay.read("after_fitting", bay.expected_mm().map(|mm| mm - 4.0), &[]).await;
    assert_eq!(choose(house, &bay.owner, &INCHES).await, StatusCode::SEE_OTHER);
    let bench =
        "/bench?units=millimetres&length-1=200&load-1=5000&length-2=250&load-2=2500&length-3=150&load-3=7500";
    let pages = [
        format!("/enquiries/{enquiry}"),
        format!("/enquiries/{enquiry}/loads"),
        format!("/enquiries/{enquiry}/why?figure=mean_drop_against_today_mm&kit=tessavar-four-collars"),
        format!("/enquiries/{enquiry}/quote"),
        format!("/jobs/{}", bay.job),
        format!("/jobs/{}/ramp", bay.job),
        record,
        "/bench".to_owned(),
    ];
    for language in ["en", "de"] {
        assert_eq!(
            choose(house, &bay.owner, &[("units", "inches"), ("language", language)]).await,
            StatusCode::SEE_OTHER
        );
        for place in &pages {
            let page = house.get(&bay.owner, place).await;
            assert_eq!(page.status, StatusCode::OK, "{place}: {}", page.text);
            assert_eq!(metric_figure(&page.text), None, "{language} {place}");
        }
    }
    let page = house.get(&bay.owner, bench).await;
    assert!(said(&page.text).contains("lbf/in"), "{}", page.text);
    let sheet = house.get(&bay.owner, &format!("/jobs/{}/set-up-sheet", bay.job)).await;
    for mm in bay.expected_mm() {
        let inches = format!("{:.2}", mm.round() / MM_PER_INCH).replace('.', ",");
        assert!(
            sheet.text.contains(&format!("<strong>{mm:.0} mm ({inches} Zoll)</strong>")),
            "{mm}: {}",
            sheet.text
        );
    }
}

#[tokio::test]
async fn law_a_form_that_nobody_touched_changes_nothing_in_either_unit() {
    let bay = Bay::open().await;
    let house = &bay.house;
    let enquiry = bay.enquiry.clone();
    let before = document(house, &bay.owner, &enquiry).await;
    for chosen in [&INCHES[..], &[("units", "inches"), ("decimal_sign", "comma")], &[("language", "de")]] {
        assert_eq!(choose(house, &bay.owner, chosen).await, StatusCode::SEE_OTHER);
        for place in [format!("/enquiries/{enquiry}"), format!("/enquiries/{enquiry}/loads")] {
            let page = house.get(&bay.owner, &place).await;
            let reply = house.post_form(&bay.owner, &place, &untouched(&page)).await;
            assert_eq!(reply.status, StatusCode::SEE_OTHER, "{place}: {}", reply.text);
            assert_eq!(document(house, &bay.owner, &enquiry).await, before, "{place} {chosen:?}");
        }
    }
}

#[tokio::test]
async fn law_a_bare_number_is_read_in_the_units_of_its_form_and_told_back_in_both() {
    let bay = Bay::open().await;
    let house = &bay.house;
    let enquiry = bay.enquiry.clone();
    let place = format!("/enquiries/{enquiry}");
    let metric_form = house.get(&bay.owner, &place).await;
    assert_eq!(choose(house, &bay.owner, &INCHES).await, StatusCode::SEE_OTHER);
    let send = async |form: &Reply, typed: &str| {
        let mut boxes = untouched(form);
        boxes.push(("wish_drop".into(), typed.into()));
        let reply = house.post_form(&bay.owner, &place, &boxes).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{typed}: {}", reply.text);
        document(house, &bay.owner, &enquiry).await.0
    };
    let typed = [("1.25", "31.75"), ("1 1/2", "38.1"), ("30 mm", "30"), ("2", "50.8")];
    for (typed, mm) in typed {
        let written = send(&house.get(&bay.owner, &place).await, typed).await;
        assert!(written.contains(&format!("drop_against_today_mm = {mm}\n")), "{typed}: {written}");
    }
    let page = house.get(&bay.owner, &place).await.text;
    assert!(page.contains("Understood: 2 in = 50.8 mm"), "{page}");
    assert_eq!(boxed(&page, "wish_drop"), "2");
    // a form that was made in millimetres is read in them
    let mut boxes = untouched(&metric_form);
    boxes.retain(|(name, _)| !name.starts_with("was-wish_drop") && name != "wish_drop");
    boxes.extend([("was-wish_drop".into(), "50.8".into()), ("wish_drop".into(), "45".into())]);
    let reply = house.post_form(&bay.owner, &place, &boxes).await;
    assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text);
    let written = document(house, &bay.owner, &enquiry).await.0;
    assert!(written.contains("drop_against_today_mm = 45\n"), "{written}");
}

#[tokio::test]
async fn law_the_bay_reads_and_types_in_inches_and_untouched_collars_stay_where_they_are() {
    let bay = Bay::open().await;
    assert_eq!(choose(&bay.house, &bay.fitter, &INCHES).await, StatusCode::SEE_OTHER);
    let form = bay.form().await;
    assert!(form.text.contains("Front left, in</label>"), "{}", form.text);
    // as a rule is read, to a tenth
    let inches = bay.expected_mm().map(|mm| (mm / MM_PER_INCH * 10.0).round() / 10.0);
    let record = bay.read("after_fitting", inches, &[]).await;
    let kept = bay.house.get(&bay.owner, &format!("/api/v1{record}")).await.json();
    for (n, set_mm) in bay.collars_mm().into_iter().enumerate() {
        let stood = kept["body"]["collar_mm"][n].as_f64().unwrap();
        assert!((stood - set_mm).abs() < 1e-9, "{n}: {stood} for {set_mm}");
        let read = kept["body"]["readings_mm"][0][n].as_f64().unwrap();
        assert!((read - inches[n] * MM_PER_INCH).abs() < 1e-6, "{n}: {read}");
    }
}

#[tokio::test]
async fn law_the_choice_is_kept_with_its_history_and_nothing_else_is_taken() {
    let house = House::new().await;
    let owner = house.set_up().await;
    for wrong in [("units", "furlongs"), ("decimal_sign", "dash")] {
        assert_eq!(choose(&house, &owner, &[wrong]).await, StatusCode::UNPROCESSABLE_ENTITY);
    }
    let chosen = [("units", "inches"), ("decimal_sign", "comma")];
    assert_eq!(choose(&house, &owner, &chosen).await, StatusCode::SEE_OTHER);
    let kept = house.get(&owner, "/api/v1/users/owner").await.json();
    assert_eq!(kept["body"]["units"], json!("inches"));
    assert_eq!(kept["body"]["decimal_sign"], json!("comma"));
    assert_eq!(kept["version"], json!(2));
    assert_eq!(choose(&house, &owner, &[]).await, StatusCode::SEE_OTHER);
    let kept = house.get(&owner, "/api/v1/users/owner").await.json();
    assert_eq!((&kept["body"]["units"], &kept["version"]), (&Value::Null, &json!(3)));
}

#[tokio::test]
async fn law_figures_of_the_catalogue_are_shown_and_read_in_inches_and_its_documents_stay_metric() {
    let house = House::new().await;
    let owner = with_catalogue(&house).await;
    let place = "/catalogue/document?path=kits/hasterby-low-deck-leaf-60.toml";
    assert_eq!(choose(&house, &owner, &INCHES).await, StatusCode::SEE_OTHER);
    let page = house.get(&owner, place).await;
    assert_eq!(boxed(&page.text, "figure-front.damper.open_length_mm"), "14.567");
    assert_eq!(boxed(&page.text, "figure-front.damper.gas_force_n"), "36");
    assert!(page.text.contains("metric for everybody"), "{}", page.text);
    let mut boxes = untouched(&page);
    assert!(boxes.contains(&("units".into(), "inches".into())), "{boxes:?}");
    for (name, typed) in [("open_length_mm", "14 1/2"), ("closed_length_mm", "245 mm")] {
        boxes.retain(|(found, _)| *found != format!("figure-front.damper.{name}"));
        boxes.push((format!("figure-front.damper.{name}"), typed.into()));
    }
    boxes.push(("do".into(), "figures".into()));
    let looked = house.post_form(&owner, place, &boxes).await;
    assert_eq!(looked.status, StatusCode::OK, "{}", looked.text);
    let text = boxed(&looked.text, "text");
    for line in ["open_length_mm = 368.3\n", "closed_length_mm = 245\n", "gas_force_n = 160\n"] {
        assert!(text.contains(line), "{line}: {text}");
    }
    assert!(looked.text.contains("Understood: 14.5 in = 368.3 mm"), "{}", looked.text);
}

#[tokio::test]
async fn law_a_grade_keeps_the_mass_in_its_name() {
    let house = House::new().await;
    let owner = with_catalogue(&house).await;
    assert_eq!(choose(&house, &owner, &INCHES).await, StatusCode::SEE_OTHER);
    let page = house.get(&owner, "/enquiries/new").await.text.replace('\u{a0}', " ");
    assert!(page.contains(", 3050 kg</option>") && !page.contains(" lb</option>"), "{page}");
}
