//! From an enquiry to a quote, its answer, a booked job, and the calls between them.

use std::path::Path;

use axum::http::StatusCode;
use serde_json::{Value, json};
use store::{By, DocumentChange};

use crate::common::{House, PASSPHRASE, Reply, START_MS, add_van};

const FORM: (&str, &str) = ("content-type", "application/x-www-form-urlencoded");

/// A house with the demo's documents in its catalogue.
async fn house_with_catalogue() -> (House, String) {
    let house = House::new().await;
    let owner = house.set_up().await;
    let mut changes = Vec::new();
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo");
    for folder in ["", "kits", "vehicles"] {
        for entry in std::fs::read_dir(root.join(folder)).unwrap() {
            let file = entry.unwrap().path();
            if file.extension().is_some_and(|kind| kind == "toml") {
                let path = file.strip_prefix(&root).unwrap().display().to_string();
                changes.push(DocumentChange { path, text: Some(std::fs::read_to_string(file).unwrap()) });
            }
        }
    }
    house.store.revise_catalogue(&By::new("owner", "test", START_MS), 0, &changes).await.unwrap();
    (house, owner)
}

/// An enquiry of the demo, asked by someone.
async fn asked_by(house: &House, owner: &str, caller: &str) -> String {
    let document = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo/enquiries");
    let mut documents: Vec<_> =
        std::fs::read_dir(document).unwrap().map(|file| file.unwrap().path()).collect();
    documents.sort();
    for file in documents {
        let enquiry = json!({"customer": null, "van": null, "caller": caller, "phone": "01632 960188",
            "question": "How low?", "document": std::fs::read_to_string(&file).unwrap(), "state": "open"});
        let kept = house.post(owner, "/api/v1/enquiries", &enquiry).await;
        assert_eq!(kept.status, StatusCode::CREATED, "{}", kept.text);
        let id = kept.json()["id"].as_str().unwrap().to_owned();
        let page = house.get(owner, &format!("/enquiries/{id}/quote")).await;
        if kits(&page).len() > 1 {
            return id;
        }
    }
    panic!("no enquiry of the demo has two kits that can be quoted");
}

/// What stands in an attribute after a mark.
fn after<'a>(text: &'a str, mark: &str) -> Option<&'a str> {
    text.split_once(mark).and_then(|(_, rest)| rest.split('"').next())
}

fn key(page: &Reply) -> String {
    after(&page.text, "name=\"key\" value=\"").unwrap_or_else(|| panic!("{}", page.text)).to_owned()
}

fn saw(page: &Reply) -> String {
    after(&page.text, "name=\"saw\" value=\"").unwrap_or_else(|| panic!("{}", page.text)).to_owned()
}

/// Kits that can be chosen as option A.
fn kits(page: &Reply) -> Vec<String> {
    let Some((_, rest)) = page.text.split_once("name=\"kit-a\"") else { return Vec::new() };
    let list = rest.split("</select>").next().unwrap();
    let values = list.split("<option value=\"").skip(1).map(|one| one.split('"').next().unwrap().to_owned());
    values.filter(|value| !value.is_empty()).collect()
}

async fn send(house: &House, cookie: &str, path: &str, typed: &str) -> Reply {
    house.send("POST", path, &[FORM, ("cookie", cookie), ("accept-language", "en")], Some(typed)).await
}

fn place(reply: &Reply) -> String {
    assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text);
    reply.headers["location"].to_str().unwrap().to_owned()
}

/// Drafts a quote of the first two kits; where it stands.
async fn drafted(house: &House, owner: &str, enquiry: &str, language: &str) -> String {
    let path = format!("/enquiries/{enquiry}/quote");
    let page = house.get(owner, &path).await;
    let kits = kits(&page);
    let typed = format!(
        "key={}&kit-a={}&kit-b={}&kit-c=&valid_until=2026-04-01&name=Hanne+Orvik&phone=01632+960188&plate=QX+77&language={language}",
        key(&page),
        kits[0],
        kits[1]
    );
    let quote = place(&send(house, owner, &path, &typed).await);
    // the same form again is the same quote
    assert_eq!(place(&send(house, owner, &path, &typed).await), quote);
    quote
}

async fn given(house: &House, owner: &str, quote: &str) {
    let page = house.get(owner, quote).await;
    let typed = format!("saw={}&ring=2026-03-09", saw(&page));
    assert_eq!(place(&send(house, owner, &format!("{quote}/given"), &typed).await), quote);
}

async fn accepted(house: &House, owner: &str, quote: &str, option: usize) {
    let page = house.get(owner, quote).await;
    let typed = format!("saw={}&says={option}&because=", saw(&page));
    assert_eq!(place(&send(house, owner, &format!("{quote}/answer"), &typed).await), quote);
}

/// The page of free times, all parts being there by the 10th of March.
async fn times(house: &House, owner: &str, enquiry: &str) -> Reply {
    house.get(owner, &format!("/enquiries/{enquiry}/book?parts_by=2026-03-10")).await
}

fn first_slot(page: &Reply) -> String {
    after(&page.text, "name=\"slot\" value=\"").unwrap_or_else(|| panic!("{}", page.text)).to_owned()
}

async fn booked(house: &House, owner: &str, enquiry: &str, slot: &str) -> Reply {
    let page = times(house, owner, enquiry).await;
    let minutes = after(&page.text, "name=\"minutes\" value=\"").unwrap();
    let typed = format!(
        "key={}&minutes={minutes}&parts_by=2026-03-10&slot={}&ramp=&day=&time=&plate=QX+77",
        key(&page),
        slot.replace(' ', "+")
    );
    send(house, owner, &format!("/enquiries/{enquiry}/book"), &typed).await
}

#[tokio::test]
async fn law_a_quote_goes_the_whole_way_to_a_booked_job() {
    let (house, owner) = house_with_catalogue().await;
    let enquiry = asked_by(&house, &owner, "Hanne Orvik").await;
    let too_early = house.get(&owner, &format!("/enquiries/{enquiry}/book")).await;
    assert_eq!(too_early.status, StatusCode::CONFLICT, "{}", too_early.text);
    let form = house.get(&owner, &format!("/enquiries/{enquiry}/quote")).await;
    let quote = drafted(&house, &owner, &enquiry, "en").await;
    let page = house.get(&owner, &quote).await;
    let kept = house.get(&owner, &format!("/api/v1{quote}")).await.json();
    let answer =
        house.get(&owner, &format!("/api/v1/answers/{}", kept["body"]["answer"].as_str().unwrap())).await;
    let found = answer.json()["body"]["result"]["options"].as_array().unwrap().clone();
    let paper = house.get(&owner, &format!("{quote}/paper")).await;
    for option in kept["body"]["options"].as_array().unwrap() {
        let found = found.iter().find(|found| found["kit"] == option["kit"]).unwrap();
        for axle in 0..2 {
            let [value, low, high] =
                ["value", "low", "high"].map(|part| found["arch_gap_mm"][axle][part].as_f64().unwrap());
            assert!(low < value && value < high);
            let told = format!("{value:.0} mm <small>{low:.0} to {high:.0} mm, computed</small>");
            assert!(page.text.contains(&told) && paper.text.contains(&told), "{told}: {}", page.text);
            assert!(form.text.contains(&told), "{told}: {}", form.text);
        }
    }
    for part in ["Arch gap, front", "Arch gap, rear"] {
        assert!(page.text.contains(part) && paper.text.contains(part), "{}", page.text);
    }
    for part in ["Given to the customer", "Hanne Orvik", "QX 77", "nine in ten", "computed", "A ·", "B ·"] {
        assert!(page.text.contains(part), "{part}: {}", page.text);
    }
    // nothing is answered that was not given
    let early = send(&house, &owner, &format!("{quote}/answer"), &format!("saw={}&says=0", saw(&page))).await;
    assert_eq!(early.status, StatusCode::CONFLICT);
    given(&house, &owner, &quote).await;
    let api = house.get(&owner, &format!("/api/v1{quote}")).await.json();
    assert_eq!(api["body"]["state"], "sent");
    let open = format!("/enquiries/{enquiry}\"");
    assert!(house.get(&owner, "/enquiries?state=answered").await.text.contains(&open));
    assert!(!house.get(&owner, "/").await.text.contains(&open), "the customer decides");
    accepted(&house, &owner, &quote, 1).await;
    assert!(house.get(&owner, "/").await.text.contains(&open), "the workshop books");
    let page = house.get(&owner, &quote).await;
    assert!(page.text.contains(&format!("/enquiries/{enquiry}/book")), "{}", page.text);
    let page = house.get(&owner, &format!("/enquiries/{enquiry}/book")).await;
    assert!(page.text.contains("Nobody has said when some of the parts come"), "{}", page.text);
    let slot = first_slot(&times(&house, &owner, &enquiry).await);
    let begins: i64 = slot.split(' ').next().unwrap().parse().unwrap();
    let day_after_parts: jiff::Timestamp = "2026-03-11T00:00:00Z".parse().unwrap();
    assert!(begins > day_after_parts.as_millisecond() - 3_600_000, "{slot}");
    let job = place(&booked(&house, &owner, &enquiry, &slot).await);
    let page = house.get(&owner, &job).await;
    assert!(page.text.contains("Lift and support the van"), "operations by name: {}", page.text);
    assert!(!page.text.contains("<li>lift-and-support"), "{}", page.text);
    let kept = house.get(&owner, &format!("/api/v1{job}")).await.json();
    assert_eq!(kept["body"]["state"], "booked");
    assert_eq!(format!("/quotes/{}", kept["body"]["quote"].as_str().unwrap()), quote);
    let option = &api["body"]["options"][1];
    assert_eq!(kept["body"]["title"], option["title"]);
    assert_eq!(kept["body"]["booking"]["minutes_nine_in_ten"], option["ramp_minutes_nine_in_ten"]);
    // the enquiry is over: it says so, leads to the job, and waits for nobody
    let kept = house.get(&owner, &format!("/api/v1/enquiries/{enquiry}")).await.json();
    assert_eq!(kept["body"]["state"], "closed");
    let page = house.get(&owner, &format!("/enquiries/{enquiry}")).await;
    assert!(page.text.contains(&format!("id=\"onward\" href=\"{job}\"")), "{}", page.text);
    assert!(!house.get(&owner, "/").await.text.contains(&format!("/enquiries/{enquiry}")));
    for (state, is_there) in [("open", false), ("answered", false), ("accepted", false), ("closed", true)] {
        let list = house.get(&owner, &format!("/enquiries?state={state}")).await;
        assert_eq!(list.text.contains(&format!("/enquiries/{enquiry}\"")), is_there, "{state}");
    }
    // the diary tells the typical end, which is before that of nine in ten
    let answer =
        house.get(&owner, &format!("/api/v1/answers/{}", api["body"]["answer"].as_str().unwrap())).await;
    let found = answer.json()["body"]["result"]["options"].as_array().unwrap().clone();
    let taken = found.iter().find(|found| found["kit"] == option["kit"]).unwrap();
    let minutes = taken["ramp_time"]["typical_minutes"].as_f64().unwrap().round();
    let typical_ms = house.store.would_end(begins, minutes as u32).await.unwrap();
    let zone = jiff::tz::TimeZone::get(&house.store.diary().await.unwrap().body.zone).unwrap();
    let at = |ms: i64| zone.to_datetime(jiff::Timestamp::from_millisecond(ms).unwrap());
    let diary = house.get(&owner, &format!("/diary?day={}", at(begins).date())).await;
    let clock = at(typical_ms).strftime("%Y-%m-%d %H:%M").to_string();
    assert!(
        diary.text.contains("Until, typically") && diary.text.contains(&clock),
        "{clock}: {}",
        diary.text
    );
    // once booked, the way to book leads to the job
    let again = house.get(&owner, &format!("/enquiries/{enquiry}/book")).await;
    assert_eq!(place(&again), job);
}

#[tokio::test]
async fn law_a_stale_version_is_refused_and_what_was_typed_stays() {
    let (house, owner) = house_with_catalogue().await;
    let enquiry = asked_by(&house, &owner, "Hanne Orvik").await;
    let quote = drafted(&house, &owner, &enquiry, "en").await;
    let late = send(&house, &owner, &format!("{quote}/given"), "saw=9&ring=2026-03-20").await;
    assert_eq!(late.status, StatusCode::PRECONDITION_FAILED, "{}", late.text);
    assert!(late.text.contains("2026-03-20") && late.text.contains("changed since"), "{}", late.text);
    let past = send(&house, &owner, &format!("{quote}/given"), "saw=1&ring=2026-02-20").await;
    assert_eq!(past.status, StatusCode::UNPROCESSABLE_ENTITY);
    given(&house, &owner, &quote).await;
    let page = house.get(&owner, &quote).await;
    let why = format!("saw={}&says=declines&because=", saw(&page));
    let no_reason = send(&house, &owner, &format!("{quote}/answer"), &why).await;
    assert_eq!(no_reason.status, StatusCode::UNPROCESSABLE_ENTITY);
    let declined = send(&house, &owner, &format!("{quote}/answer"), &format!("{why}too+dear")).await;
    place(&declined);
    let page = house.get(&owner, &quote).await;
    assert!(page.text.contains("declined") && page.text.contains("too dear"), "{}", page.text);
}

#[tokio::test]
async fn law_quotes_are_written_in_the_customers_language() {
    let (house, owner) = house_with_catalogue().await;
    let enquiry = asked_by(&house, &owner, "Hanne Orvik").await;
    let quote = drafted(&house, &owner, &enquiry, "de").await;
    let kept = house.get(&owner, &format!("/api/v1{quote}")).await.json();
    let read_aloud = kept["body"]["read_aloud"].as_str().unwrap();
    assert!(read_aloud.contains("Ihr Wagen"), "{read_aloud}");
    let paper = house.get(&owner, &format!("{quote}/paper")).await;
    assert!(paper.text.contains("<html lang=\"de\">") && paper.text.contains("Gilt bis"), "{}", paper.text);
    assert!(paper.text.contains("zugelassene Fachleute entscheiden"), "{}", paper.text);
    // the page itself is in the reader's language, with the customer's text marked
    let page = house.get(&owner, &quote).await;
    assert!(page.text.contains("<html lang=\"en\">") && page.text.contains("lang=\"de\""), "{}", page.text);
    // by the API too
    let body = &kept["body"];
    let asked = json!({"customer": body["customer"], "van": null, "answer": body["answer"],
        "kits": [body["options"][0]["kit"]], "valid_until": "2026-05-01"});
    let api = house.post(&owner, "/api/v1/quotes", &asked).await.json();
    assert_eq!(api["body"]["options"][0]["lines"], body["options"][0]["lines"]);
    assert!(api["body"]["read_aloud"].as_str().unwrap().contains("Ihr Wagen"), "{api}");
}

#[tokio::test]
async fn law_a_clash_names_the_job_it_meets_and_the_next_free_time() {
    let (house, owner) = house_with_catalogue().await;
    let mut enquiries = Vec::new();
    for caller in ["Hanne Orvik", "Bram Tolley"] {
        let enquiry = asked_by(&house, &owner, caller).await;
        let quote = drafted(&house, &owner, &enquiry, "en").await;
        given(&house, &owner, &quote).await;
        accepted(&house, &owner, &quote, 0).await;
        enquiries.push(enquiry);
    }
    let slot = first_slot(&times(&house, &owner, &enquiries[0]).await);
    let first = place(&booked(&house, &owner, &enquiries[0], &slot).await);
    let clash = booked(&house, &owner, &enquiries[1], &slot).await;
    assert_eq!(clash.status, StatusCode::CONFLICT, "{}", clash.text);
    for part in ["is held by QX 77", "The next free time is"] {
        assert!(clash.text.contains(part), "{part}: {}", clash.text);
    }
    let free = first_slot(&times(&house, &owner, &enquiries[1]).await);
    assert_ne!(free, slot);
    let second = place(&booked(&house, &owner, &enquiries[1], &free).await);
    // moving it onto the first is refused in the same words
    let held = house.get(&owner, &format!("/api/v1{first}")).await.json()["body"]["booking"].clone();
    let at: jiff::Timestamp = jiff::Timestamp::from_millisecond(held["from_ms"].as_i64().unwrap()).unwrap();
    let zone = house.store.diary().await.unwrap().body.zone;
    let local = at.in_tz(&zone).unwrap();
    let page = house.get(&owner, &second).await;
    let typed = format!(
        "saw={}&ramp={}&day={}&time={:02}:{:02}&minutes={}",
        saw(&page),
        held["ramp"].as_str().unwrap().replace(' ', "+"),
        local.date(),
        local.hour(),
        local.minute(),
        held["minutes_nine_in_ten"]
    );
    let moved = send(&house, &owner, &format!("{second}/move"), &typed).await;
    assert_eq!(moved.status, StatusCode::CONFLICT, "{}", moved.text);
    assert!(
        moved.text.contains("is held by QX 77") && moved.text.contains("next free time"),
        "{}",
        moved.text
    );
}

#[tokio::test]
async fn law_the_next_version_is_made_on_todays_data_and_shows_what_changed() {
    let (house, owner) = house_with_catalogue().await;
    let enquiry = asked_by(&house, &owner, "Hanne Orvik").await;
    let quote = drafted(&house, &owner, &enquiry, "en").await;
    given(&house, &owner, &quote).await;
    let before = house.get(&owner, &format!("/api/v1{quote}")).await.json();
    let catalogue = house.store.catalogue(None).await.unwrap();
    let (path, prices) = catalogue.documents.iter().find(|(path, _)| *path == "prices.toml").unwrap();
    let dearer = prices.replace("consumables_per_job = \"14.50\"", "consumables_per_job = \"24.50\"");
    assert_ne!(*prices, dearer);
    let change = DocumentChange { path: path.clone(), text: Some(dearer) };
    house.store.revise_catalogue(&By::new("owner", "test", START_MS), 1, &[change]).await.unwrap();
    let page = house.get(&owner, &quote).await;
    let again = format!("{quote}/again");
    let typed = format!("key={}", key(&page));
    let next = place(&send(&house, &owner, &again, &typed).await);
    assert_eq!(place(&send(&house, &owner, &again, &typed).await), next, "one press, one version");
    let after = house.get(&owner, &format!("/api/v1{next}")).await.json();
    assert_eq!(after["body"]["revision"], 2);
    let totals = |quote: &Value| quote["body"]["options"][0]["total_minor"].as_i64().unwrap();
    // ten more before tax at the demo's 20 %
    assert_eq!(totals(&after) - totals(&before), 1200);
    let page = house.get(&owner, &next).await;
    assert!(page.text.contains("What changed since version 1"), "{}", page.text);
    assert_eq!(house.get(&owner, &format!("/api/v1{quote}")).await.json()["body"]["state"], "sent");
    given(&house, &owner, &next).await;
    assert_eq!(house.get(&owner, &format!("/api/v1{quote}")).await.json()["body"]["state"], "superseded");
    let list = house.get(&owner, "/quotes").await;
    assert!(list.text.find(&next).unwrap() < list.text.find(&format!("{quote}\"")).unwrap(), "open first");
}

#[tokio::test]
async fn law_a_fitter_sees_the_job_and_no_prices() {
    let (house, owner) = house_with_catalogue().await;
    let enquiry = asked_by(&house, &owner, "Hanne Orvik").await;
    let quote = drafted(&house, &owner, &enquiry, "en").await;
    given(&house, &owner, &quote).await;
    accepted(&house, &owner, &quote, 0).await;
    let slot = first_slot(&times(&house, &owner, &enquiry).await);
    let job = place(&booked(&house, &owner, &enquiry, &slot).await);
    house.add_user(&owner, "bay", "fitter").await;
    let bay = house.sign_in("bay", PASSPHRASE).await.cookie();
    for path in [quote.clone(), format!("{quote}/paper"), "/quotes".into(), "/calls".into()] {
        assert_eq!(house.get(&bay, &path).await.status, StatusCode::FORBIDDEN, "{path}");
    }
    let page = house.get(&bay, &job).await;
    assert_eq!(page.status, StatusCode::OK);
    for part in ["€", &quote, "960188", "/move\"", "/cancel\""] {
        assert!(!page.text.contains(part), "{part}: {}", page.text);
    }
    assert!(page.text.contains("Lift and support the van"), "{}", page.text);
}

#[tokio::test]
async fn law_hostile_text_stays_text() {
    let (house, owner) = house_with_catalogue().await;
    let enquiry = asked_by(&house, &owner, "<img src=x onerror=alert(1)>").await;
    let path = format!("/enquiries/{enquiry}/quote");
    let page = house.get(&owner, &path).await;
    let kit = &kits(&page)[0];
    let hostile = "%22%3E%3Cscript%3Ealert(1)%3C/script%3E";
    let typed = format!(
        "key={}&kit-a={kit}&valid_until=2026-04-01&name={hostile}&phone={hostile}&plate={hostile}&language={hostile}",
        key(&page)
    );
    let wrong = send(&house, &owner, &path, &typed.replace("2026-04-01", hostile)).await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    let quote = place(&send(&house, &owner, &path, &typed).await);
    let stale = send(&house, &owner, &format!("{quote}/given"), &format!("saw=9&ring={hostile}")).await;
    given(&house, &owner, &quote).await;
    house.wait(8 * 24 * 3600);
    let owner = house.sign_in("owner", PASSPHRASE).await.cookie();
    let calls = house.get(&owner, "/calls?reason=%3Cscript%3E").await;
    let all_calls = house.get(&owner, "/calls").await;
    let late = send(&house, &owner, "/calls/%3Cscript%3E/done", &format!("outcome={hostile}")).await;
    let pages = [
        page,
        wrong,
        stale,
        late,
        calls,
        all_calls,
        house.get(&owner, &quote).await,
        house.get(&owner, &format!("{quote}/paper")).await,
        house.get(&owner, "/quotes").await,
        house.get(&owner, "/jobs?from=%22%3E%3Cscript%3E&state=%22%3E%3Cscript%3E").await,
    ];
    for page in pages {
        for tag in ["<script>", "<img"] {
            assert!(!page.text.contains(tag), "{}", page.text);
        }
        assert!(!page.status.is_server_error(), "{}", page.text);
    }
}

#[tokio::test]
async fn law_an_unanswered_quote_is_rung_about_until_it_is_done() {
    let (house, owner) = house_with_catalogue().await;
    let enquiry = asked_by(&house, &owner, "Hanne Orvik").await;
    let quote = drafted(&house, &owner, &enquiry, "en").await;
    given(&house, &owner, &quote).await;
    assert!(house.get(&owner, "/calls").await.text.contains("Nobody is to be rung"));
    house.wait(8 * 24 * 3600);
    let owner = house.sign_in("owner", PASSPHRASE).await.cookie();
    let page = house.get(&owner, "/calls").await;
    for part in ["Hanne Orvik", "01632 960188", &quote, "You have our quote", "Have you made up your mind?"] {
        assert!(page.text.contains(part), "{part}: {}", page.text);
    }
    let call = after(&page.text, "action=\"/calls/").unwrap().trim_end_matches("/done").to_owned();
    let nothing = send(&house, &owner, &format!("/calls/{call}/done"), "saw=1&outcome=").await;
    assert_eq!(nothing.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(nothing.text.contains("Say what came of it"), "{}", nothing.text);
    let later = format!("/calls/{call}/later");
    let stale = send(&house, &owner, &later, "saw=7&again_on=2026-03-20").await;
    assert_eq!(stale.status, StatusCode::PRECONDITION_FAILED);
    assert_eq!(place(&send(&house, &owner, &later, "saw=1&again_on=2026-03-20").await), "/calls");
    assert!(house.get(&owner, "/calls").await.text.contains("Nobody is to be rung"));
    house.wait(11 * 24 * 3600);
    let owner = house.sign_in("owner", PASSPHRASE).await.cookie();
    assert!(house.get(&owner, "/calls").await.text.contains("Hanne Orvik"));
    let done = send(&house, &owner, &format!("/calls/{call}/done"), "saw=2&outcome=thinks+it+over").await;
    assert_eq!(place(&done), "/calls");
    assert!(house.get(&owner, "/calls").await.text.contains("Nobody is to be rung"));
    let kept = house.get(&owner, &format!("/api/v1/call-backs/{call}")).await.json();
    assert_eq!(kept["body"]["outcome"], "thinks it over");
}

/// Every page holds others, all of them once, and the days asked for alone.
#[tokio::test]
async fn law_jobs_are_paged_and_chosen_by_state_and_day() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let (customer, van) = add_van(&house, &owner).await;
    let mut from_ms = START_MS;
    for n in 0..120 {
        let ramp = house.store.diary().await.unwrap().body.ramps[0].clone();
        let free = house.store.first_free(60, from_ms, Some(&ramp), true).await.unwrap();
        let job = json!({"customer": customer, "van": van, "quote": null, "title": format!("job no {n}."),
            "operations": [], "parts": [], "ramp": ramp, "from_ms": free.from_ms, "minutes_nine_in_ten": 60});
        let kept = house.post(&owner, "/api/v1/jobs", &job).await;
        assert_eq!(kept.status, StatusCode::CREATED, "{}", kept.text);
        from_ms = free.to_ms;
        house.wait(1);
    }
    let (mut seen, mut path) = (Vec::new(), "/jobs".to_owned());
    loop {
        let page = house.get(&owner, &path).await;
        let titles =
            page.text.split("job no ").skip(1).map(|rest| rest.split('.').next().unwrap().to_owned());
        let titles: Vec<String> = titles.collect();
        assert!(titles.len() <= 50, "{}", titles.len());
        seen.extend(titles);
        let Some(older) = after(&page.text, "&amp;before=") else { break };
        path = format!("/jobs?before={older}");
    }
    let newest_first: Vec<String> = (0..120).rev().map(|n| n.to_string()).collect();
    assert_eq!(seen, newest_first);
    let day = house.get(&owner, "/jobs?state=booked&from=2026-03-03&until=2026-03-03").await;
    let shown = day.text.matches("job no ").count();
    assert!(shown > 0 && day.text.matches("2026-03-03 ").count() >= shown, "{}", day.text);
    assert_eq!(day.text.matches("2026-03-04 ").count() + day.text.matches("2026-03-02 ").count(), 0);
    let none = house.get(&owner, "/jobs?state=cancelled&from=2026-03-03").await;
    assert_eq!(none.text.matches("job no ").count(), 0);
    let amiss = house.get(&owner, "/jobs?from=yesterday").await;
    assert!(amiss.text.contains("Give a day as"), "{}", amiss.text);
}

#[tokio::test]
async fn law_a_kit_without_a_price_says_what_to_ask() {
    let (house, owner) = house_with_catalogue().await;
    let document = "id = \"a\"\nquestion = \"b\"\nvehicle = \"sorvel\"\ngrade = \"light\"\n\n[wish]\nby = \"level\"\nstate = \"day_to_day\"\n";
    let enquiry = json!({"customer": null, "van": null, "caller": "Hanne", "phone": null, "question": "b",
        "document": document, "state": "open"});
    let kept = house.post(&owner, "/api/v1/enquiries", &enquiry).await;
    assert_eq!(kept.status, StatusCode::CREATED, "{}", kept.text);
    let id = kept.json()["id"].as_str().unwrap().to_owned();
    let page = house.get(&owner, &format!("/enquiries/{id}/quote")).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    for part in ["No kit of the shortlist has a price yet.", "Ask first:", "#fact-strut-mount"] {
        assert!(page.text.contains(part), "{part}: {}", page.text);
    }
}
