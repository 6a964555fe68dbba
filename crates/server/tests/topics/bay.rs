//! From heights on the ramp to a correction that is kept, and what came of it.

use axum::http::StatusCode;
use serde_json::{Value, json};

use crate::common::{House, PASSPHRASE, Reply, add_van};

const CORNERS: [&str; 4] = ["front_left", "front_right", "rear_left", "rear_right"];

/// A job with its set-up sheet, and who works on it.
pub(super) struct Bay {
    pub(super) house: House,
    pub(super) owner: String,
    pub(super) fitter: String,
    pub(super) job: String,
    pub(super) enquiry: String,
    sheet: Value,
}

impl Bay {
    pub(super) async fn open() -> Self {
        let house = House::new().await;
        house.read_demo().await;
        let owner = house.set_up().await;
        house.add_user(&owner, "fitter", "fitter").await;
        let fitter = house.sign_in("fitter", PASSPHRASE).await.cookie();
        let (customer, van) = add_van(&house, &owner).await;
        let document = House::demo_file("enquiries/camper-low-at-the-back.toml");
        let enquiry = json!({"customer": customer, "van": van, "caller": "Tamsin Holbrook", "phone": null,
            "question": "lower", "document": document, "state": "open"});
        let enquiry = house.made(&owner, "/api/v1/enquiries", &enquiry).await;
        let asked = json!({"about": "set_up", "kit": "tessavar-four-collars"});
        let answer = house.made(&owner, &format!("/api/v1/enquiries/{enquiry}/answers"), &asked).await;
        let free = house.get(&owner, "/api/v1/diary/first-free?minutes_nine_in_ten=60").await.json();
        let job = json!({"customer": customer, "van": van, "quote": null, "title": "collars", "operations": [],
            "parts": [], "ramp": free["ramp"], "from_ms": free["from_ms"], "minutes_nine_in_ten": 60});
        let job = house.made(&owner, "/api/v1/jobs", &job).await;
        let sheet = house.made(&owner, "/api/v1/set-up-sheets", &json!({"job": job, "answer": answer})).await;
        let sheet = house.get(&owner, &format!("/api/v1/set-up-sheets/{sheet}")).await.json();
        Self { house, owner, fitter, job, enquiry, sheet }
    }

    /// Value of a list of the sheet at each corner.
    fn of_sheet(&self, list: &str, value: impl Fn(&Value) -> f64) -> [f64; 4] {
        let entries = self.sheet["body"]["content"][list].as_array().unwrap();
        std::array::from_fn(|n| value(&entries[n]))
    }

    pub(super) fn collars_mm(&self) -> [f64; 4] {
        self.of_sheet("collars", |collar| collar["position_mm"].as_f64().unwrap())
    }

    pub(super) fn expected_mm(&self) -> [f64; 4] {
        self.of_sheet("on_the_ramp", |read| read["arch_height_mm"]["value"].as_f64().unwrap())
    }

    pub(super) async fn form(&self) -> Reply {
        self.house.get(&self.fitter, &format!("/jobs/{}/ramp", self.job)).await
    }

    /// Sends the form as it came, with what is typed over it.
    async fn send(&self, form: &Reply, typed: &[(&str, String)]) -> Reply {
        let mut boxes: Vec<(String, String)> = inputs(&form.text);
        for (name, value) in [("settled", "rolled_and_bounced"), ("bushes", "yes"), ("load", "yes")] {
            boxes.push((name.into(), value.into()));
        }
        boxes.extend(typed.iter().map(|(name, value)| ((*name).into(), value.clone())));
        self.house.post_form(&self.fitter, &format!("/jobs/{}/ramp", self.job), &boxes).await
    }

    /// Reads heights so far from what the sheet expects.
    pub(super) async fn read(&self, stage: &str, heights_mm: [f64; 4], typed: &[(&str, String)]) -> String {
        // what is read later has a later id
        self.house.wait(60);
        let heights = CORNERS.into_iter().zip(heights_mm.map(|mm| format!("{mm:.1}")));
        let all: Vec<_> =
            [("stage", stage.to_owned())].into_iter().chain(heights).chain(typed.iter().cloned()).collect();
        let reply = self.send(&self.form().await, &all).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text);
        reply.headers["location"].to_str().unwrap().to_owned()
    }
}

/// Names and values of a page's boxes, but for those of choices that nobody made.
pub(super) fn inputs(page: &str) -> Vec<(String, String)> {
    let part =
        |tag: &str, name: &str| Some(tag.split_once(&format!("{name}=\""))?.1.split('"').next()?.to_owned());
    page.split("<input ")
        .skip(1)
        .filter_map(|rest| rest.split('>').next())
        .filter(|tag| !tag.contains("type=\"radio\"") || tag.contains(" checked"))
        .filter_map(|tag| {
            Some((part(tag, " name").or_else(|| part(tag, "name"))?, part(tag, "value").unwrap_or_default()))
        })
        .collect()
}

pub(super) fn boxed(page: &str, name: &str) -> String {
    inputs(page).into_iter().find(|(found, _)| found == name).unwrap_or_else(|| panic!("no {name}")).1
}

#[tokio::test]
async fn law_a_correction_is_kept_from_the_page_and_followed_to_the_next_reading() {
    let bay = Bay::open().await;
    let form = bay.form().await;
    for (name, set_mm) in CORNERS.into_iter().zip(bay.collars_mm()) {
        let stands: f64 = boxed(&form.text, &format!("collar-{name}")).parse().unwrap();
        assert!((stands - set_mm).abs() < 0.01, "{name}: {stands} is not {set_mm}");
    }
    let record = bay.read("after_fitting", bay.expected_mm().map(|mm| mm - 4.0), &[]).await;
    let page = bay.house.get(&bay.fitter, &record).await;
    assert!(page.text.contains("Turned so"), "{}", page.text);
    let key = boxed(&page.text, "key");
    for _ in 0..2 {
        let kept = bay
            .house
            .post_form(&bay.fitter, &format!("{record}/correction"), &[("key".into(), key.clone())])
            .await;
        assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text);
    }
    let page = bay.house.get(&bay.fitter, &record).await;
    assert!(!page.text.contains("Turned so") && page.text.contains("<svg"), "{}", page.text);
    let kept = bay.house.get(&bay.owner, "/api/v1/corrections").await.json();
    let kept = kept["records"].as_array().unwrap().clone();
    assert_eq!(kept.len(), 1);
    assert_eq!(format!("/ramp-records/{}", kept[0]["body"]["ramp_record"].as_str().unwrap()), record);
    let turned = kept[0]["body"]["content"]["turn"].clone();
    let job = format!("/jobs/{}", bay.job);
    assert!(bay.house.get(&bay.fitter, &job).await.text.contains("not read yet"));
    // the next form knows where the correction put the collars
    let form = bay.form().await;
    for (n, name) in CORNERS.into_iter().enumerate() {
        let stands: f64 = boxed(&form.text, &format!("collar-{name}")).parse().unwrap();
        assert!((stands - turned["collars"][n]["new_position_mm"].as_f64().unwrap()).abs() < 0.01);
    }
    let then: [f64; 4] =
        std::array::from_fn(|n| turned["corners"][n]["expected_arch_height_mm"]["value"].as_f64().unwrap());
    bay.read("after_correction", [then[0], then[1], then[2], then[3] - 30.0], &[]).await;
    let page = bay.house.get(&bay.fitter, &job).await.text;
    assert_eq!(page.matches("within the range").count(), 3, "{page}");
    assert_eq!(page.matches("beyond the range").count(), 1, "{page}");
}

#[tokio::test]
async fn regress_no_turn_is_named_where_a_collar_is_not_known() {
    let bay = Bay::open().await;
    let heights = bay.expected_mm().map(|mm| mm - 4.0);
    let record = bay.read("after_fitting", heights, &[("collar-rear_left", String::new())]).await;
    for (language, words) in [("en", "rear left"), ("de", "hinten links")] {
        let headers = [("cookie", &*bay.fitter), ("accept-language", language)];
        let page = bay.house.send("GET", &record, &headers, None).await;
        assert!(page.text.contains(words) && !page.text.contains("<svg"), "{}", page.text);
        let place = format!("/api/v1{record}/correction");
        let refused = bay.house.send("GET", &place, &headers, None).await;
        assert_eq!(
            (refused.status, refused.code().as_str()),
            (StatusCode::UNPROCESSABLE_ENTITY, "collars_not_known")
        );
        assert_eq!(refused.json()["corners"], json!(["rear left"]));
        assert!(refused.json()["detail"].as_str().unwrap().contains(words), "{}", refused.text);
    }
    let refused = bay.house.post(&bay.fitter, &format!("/api/v1{record}/corrections"), &json!({})).await;
    assert_eq!(refused.code(), "collars_not_known");
    assert_eq!(bay.house.get(&bay.owner, "/api/v1/corrections").await.json()["records"], json!([]));
    // turned or not since then, nobody has said: nothing is filled in for the next reading
    let form = bay.form().await;
    assert!(CORNERS.iter().all(|name| boxed(&form.text, &format!("collar-{name}")).is_empty()));
}

#[tokio::test]
async fn law_collars_may_be_told_in_turns_from_delivered() {
    let bay = Bay::open().await;
    let pitch_mm = bay.of_sheet("collars", |collar| collar["thread_pitch_mm"].as_f64().unwrap());
    let turns = bay.of_sheet("collars", |collar| collar["turns_from_delivered"].as_f64().unwrap());
    let typed = format!("{}", turns[1] + 0.5);
    let typed = [("collars_as", "turns".to_owned()), ("collar-front_right", typed)];
    let record = bay.read("after_fitting", bay.expected_mm(), &typed).await;
    let kept = bay.house.get(&bay.owner, &format!("/api/v1{record}")).await.json();
    let stood = |n: usize| kept["body"]["collar_mm"][n].as_f64().unwrap();
    let set_mm = bay.collars_mm();
    assert!((stood(1) - (set_mm[1] + 0.5 * pitch_mm[1])).abs() < 1e-9, "{kept}");
    // what was not touched is what was known, whatever the new one counts as
    assert!((stood(0) - set_mm[0]).abs() < 1e-9, "{kept}");
}

#[tokio::test]
async fn law_what_cannot_be_a_collar_is_asked_again_and_what_was_typed_stays() {
    let bay = Bay::open().await;
    let typed = [("stage", "after_fitting".to_owned()), ("collar-front_left", "\"><script>".to_owned())];
    let reply = bay.send(&bay.form().await, &typed).await;
    assert_eq!(reply.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        reply.text.contains("href=\"#collar-front_left\"") && !reply.text.contains("<script>"),
        "{}",
        reply.text
    );
    assert!(boxed(&reply.text, "collar-front_left").contains("script"), "{}", reply.text);
}

#[tokio::test]
async fn law_the_set_up_sheet_shows_each_collar_and_what_to_read() {
    let bay = Bay::open().await;
    let place = format!("/jobs/{}/set-up-sheet", bay.job);
    let page = bay.house.get(&bay.fitter, &place).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    for mm in bay.collars_mm() {
        assert!(page.text.contains(&format!("<strong>{mm:.1} mm</strong>")), "{mm}: {}", page.text);
    }
    assert!(page.text.contains("<svg"));
    let german =
        bay.house.send("GET", &place, &[("cookie", &bay.fitter), ("accept-language", "de")], None).await;
    assert!(german.text.contains("Einstellblatt") && german.text.contains("Vom Bezug"), "{}", german.text);
    let nothing = bay.house.get(&bay.fitter, "/jobs/none/set-up-sheet").await;
    assert_eq!(nothing.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn law_the_first_page_names_the_next_step_of_each_job() {
    let bay = Bay::open().await;
    let place = format!("/api/v1/jobs/{}", bay.job);
    let tag = bay.house.get(&bay.owner, &place).await.headers["etag"].to_str().unwrap().to_owned();
    assert!(bay.house.get(&bay.fitter, "/").await.text.contains("Start the work"));
    let headers = [("cookie", &*bay.fitter), ("if-match", &*tag)];
    let begun = bay.house.send("POST", &format!("{place}/start"), &headers, None).await;
    assert_eq!(begun.status, StatusCode::OK, "{}", begun.text);
    assert!(bay.house.get(&bay.fitter, "/").await.text.contains("Read the heights as found"));
    bay.read("as_found", [420.0; 4], &[]).await;
    assert!(bay.house.get(&bay.fitter, "/").await.text.contains(&format!("/jobs/{}/set-up-sheet", bay.job)));
    let record = bay.read("after_fitting", bay.expected_mm(), &[]).await;
    assert!(bay.house.get(&bay.fitter, "/").await.text.contains(&record));
}
