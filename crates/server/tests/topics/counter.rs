//! The office's pages: the day, the list of enquiries, what is searched for.

use axum::http::StatusCode;
use serde_json::{Value, json};
use store::By;
use store::records::Diary;

use crate::common::{House, PASSPHRASE, add_van, send_form, with_catalogue};

fn enquiry(customer: &Value, caller: &str, state: &str) -> Value {
    let document = House::demo_file("enquiries/day-van-lower.toml");
    json!({"customer": customer, "van": null, "caller": caller, "phone": "01632 960777", "question": "lower?", "document": document, "state": state})
}

#[tokio::test]
async fn law_nobody_is_sent_to_a_refusal_for_want_of_a_diary() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let diary = house.store.diary().await.unwrap();
    let by = By::new("owner", "test", 1);
    house.store.remove::<Diary>(&by, &diary.id, diary.version).await.unwrap();
    for role in ["reader", "fitter", "office"] {
        house.add_user(&owner, role, role).await;
        let cookie = house.sign_in(role, PASSPHRASE).await.cookie();
        for path in ["/", "/diary", "/jobs"] {
            let page = house.get(&cookie, path).await;
            assert_eq!(page.status, StatusCode::OK, "{role} {path}: {}", page.text);
        }
        let page = house.get(&cookie, "/").await;
        assert!(page.text.contains("no ramps and opening hours yet"), "{}", page.text);
        assert_eq!(page.text.contains("To ring"), role == "office", "{}", page.text);
    }
}

#[tokio::test]
async fn law_enquiries_come_newest_first_by_state_and_in_parts() {
    let house = House::new().await;
    house.read_demo().await;
    let owner = house.set_up().await;
    for n in 0..34 {
        house.wait(1);
        let state = if n % 17 == 0 { "quoted" } else { "open" };
        house
            .made(&owner, "/api/v1/enquiries", &enquiry(&Value::Null, &format!("caller-{n:02}."), state))
            .await;
    }
    let callers = |page: &str| -> Vec<String> {
        page.split("caller-").skip(1).map(|rest| rest.split('.').next().unwrap().to_owned()).collect()
    };
    let first = house.get(&owner, "/enquiries").await.text;
    let shown = callers(&first);
    assert_eq!((shown.len(), shown[0].as_str(), shown[29].as_str()), (30, "33", "04"));
    let older = first.split("before=").nth(1).unwrap().split('"').next().unwrap();
    let rest = house.get(&owner, &format!("/enquiries?before={older}")).await.text;
    assert_eq!(callers(&rest), ["03", "02", "01", "00"]);
    assert_eq!(callers(&house.get(&owner, "/enquiries?state=answered").await.text), ["17", "00"]);
    assert_eq!(house.get(&owner, "/enquiries?state=%22%3E&before=%00").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn law_search_finds_people_and_vans_without_a_job_and_says_what_to_do_next() {
    let house = House::new().await;
    house.read_demo().await;
    let owner = house.set_up().await;
    let (_, van) = add_van(&house, &owner).await;
    let body = json!({"name": "<script>alert(1)</script> Quelholt", "phones": ["01632 960555"], "email": null, "address": [], "language": "en", "notes": ""});
    let alone = house.made(&owner, "/api/v1/customers", &body).await;
    let open = house.made(&owner, "/api/v1/enquiries", &enquiry(&json!(alone), "Quelholt", "open")).await;
    let by_plate = house.get(&owner, "/search?q=qx1").await.text;
    assert!(by_plate.contains("QX1") && by_plate.contains("Tamsin Holbrook"), "{by_plate}");
    assert!(by_plate.contains(&format!("van={van}")), "an enquiry can be begun: {by_plate}");
    for asked in ["960555", "Quelholt"] {
        let found = house.get(&owner, &format!("/search?q={asked}")).await.text;
        assert!(found.contains("Quelholt") && found.contains("01632 960555"), "{found}");
        assert!(
            found.contains(&format!("/enquiries/{open}")) && found.contains("Answer and quote"),
            "{found}"
        );
        assert!(!found.contains("<script>alert"), "{found}");
    }
    let begun = house.get(&owner, &format!("/enquiries/new?customer={alone}")).await.text;
    assert!(begun.contains("value=\"01632 960555\""), "{begun}");
    assert_eq!(house.get(&owner, "/enquiries/new?customer=nobody").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn law_a_call_is_made_once_and_leaves_the_list() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let customer = house.add_customer(&owner).await["id"].clone();
    let call = json!({"customer": customer, "reason": "asked", "due_ms": 0, "notes": "about the <b>bed</b>", "done_ms": null, "outcome": ""});
    let call = house.made(&owner, "/api/v1/call-backs", &call).await;
    let day = house.get(&owner, "/").await.text;
    assert!(day.contains("Tamsin Holbrook"), "{day}");
    let calls = house.get(&owner, "/calls").await.text;
    assert!(calls.contains("Tamsin Holbrook") && !calls.contains("<b>bed"), "{calls}");
    let place = format!("/calls/{call}/done");
    let sent = [("saw".to_owned(), "1".to_owned()), ("outcome".to_owned(), "rings back".to_owned())];
    assert_eq!(house.post_form(&owner, &place, &sent).await.status, StatusCode::SEE_OTHER);
    assert!(!house.get(&owner, "/").await.text.contains("Tamsin Holbrook"));
    let late = house.post_form(&owner, &place, &sent).await;
    assert_eq!(late.status, StatusCode::PRECONDITION_FAILED, "{}", late.text);
}

#[tokio::test]
async fn law_calls_stand_with_the_latest_due_first() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let customer = house.add_customer(&owner).await["id"].clone();
    for (due_ms, notes) in
        [(86_400_000, "of the second"), (0, "of the first"), (2 * 86_400_000, "of the third")]
    {
        let call = json!({"customer": customer, "reason": "asked", "due_ms": due_ms, "notes": notes, "done_ms": null, "outcome": ""});
        house.made(&owner, "/api/v1/call-backs", &call).await;
    }
    let page = house.get(&owner, "/calls").await.text;
    let at = ["1970-01-03", "1970-01-02", "1970-01-01"]
        .map(|day| page.find(day).unwrap_or_else(|| panic!("{day}: {page}")));
    assert!(at.is_sorted(), "{at:?}");
}

#[tokio::test]
async fn law_everyone_sets_the_language_of_their_own_pages_and_nothing_else() {
    let house = House::new().await;
    let owner = house.set_up().await;
    house.add_user(&owner, "fitter", "fitter").await;
    let fitter = house.sign_in("fitter", PASSPHRASE).await.cookie();
    let send = async |language: &str, saw: &str| {
        let boxes = [("language", language), ("saw", saw), ("role", "owner")];
        let boxes = boxes.map(|(name, value)| (name.to_owned(), value.to_owned()));
        house.post_form(&fitter, "/me", &boxes).await.status
    };
    assert!(house.get(&fitter, "/me").await.text.contains("Fitter"));
    assert_eq!(send("xx", "1").await, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(send("de", "7").await, StatusCode::PRECONDITION_FAILED);
    assert_eq!(send("de", "1").await, StatusCode::SEE_OTHER);
    let page = house.get(&fitter, "/me").await.text;
    assert!(page.contains("Monteur") && page.contains("lang=\"de\""), "{page}");
    let kept = house.get(&owner, "/api/v1/users/fitter").await.json();
    assert_eq!((&kept["body"]["role"], &kept["body"]["language"]), (&json!("fitter"), &json!("de")));
}

#[tokio::test]
async fn law_kits_for_other_vans_are_counted_apart_and_each_question_has_a_drawing() {
    let house = House::new().await;
    house.read_demo().await;
    let owner = house.set_up().await;
    let kept = house.made(&owner, "/api/v1/enquiries", &enquiry(&Value::Null, "Orla", "open")).await;
    let page = house.get(&owner, &format!("/enquiries/{kept}")).await.text;
    assert!(page.contains("Kits for other vans ("), "{page}");
    assert_eq!(page.matches("class=\"pict pict-look\"").count(), page.matches("pict-frame look").count());
    assert!(page.matches("class=\"pict pict-look\"").count() >= 3, "{page}");
    assert!(page.contains("id=\"wish_slide\"") && page.contains("data-y-per-mm"), "{page}");
    assert!(!page.contains(" style=\""), "{page}");
}

#[tokio::test]
async fn law_an_enquiry_is_closed_with_its_reason_and_opened_again_from_its_page() {
    let house = House::new().await;
    let owner = with_catalogue(&house).await;
    let kept = house.post(&owner, "/api/v1/enquiries", &enquiry(&Value::Null, "Hanne", "open")).await.json();
    let place = format!("/enquiries/{}", kept["id"].as_str().unwrap());
    let stale = send_form(&house, &owner, &format!("{place}/close"), &[("saw", "7")]).await;
    assert_eq!(stale.status, StatusCode::PRECONDITION_FAILED, "{}", stale.text);
    let boxes = [("saw", "1"), ("because", "the van is sold")];
    let closed = send_form(&house, &owner, &format!("{place}/close"), &boxes).await;
    assert_eq!(closed.status, StatusCode::SEE_OTHER, "{}", closed.text);
    let page = house.get(&owner, &place).await;
    assert!(page.text.contains("closed") && page.text.contains("Open it again"), "{}", page.text);
    assert!(!house.get(&owner, "/").await.text.contains("Hanne"));
    let opened = send_form(&house, &owner, &format!("{place}/open"), &[("saw", "2")]).await;
    assert_eq!(opened.status, StatusCode::SEE_OTHER, "{}", opened.text);
    assert!(house.get(&owner, "/").await.text.contains("Hanne"));
}

#[tokio::test]
async fn law_a_kit_that_cannot_be_drawn_leaves_the_list_where_it_is() {
    let house = House::new().await;
    let owner = with_catalogue(&house).await;
    // bars for a van that has none
    let bars = House::demo_file("kits/tessavar-bars-firm.toml")
        .replace("id = \"tessavar-bars-firm\"", "id = \"bars-on-coils\"")
        .replace("fits = [\"wendor\"]", "fits = [\"sorvel\"]");
    let changes = json!({"changes": [{"path": "kits/bars-on-coils.toml", "text": bars}]}).to_string();
    let headers = [("cookie", &*owner), ("if-match", "\"1\"")];
    let kept = house.send("POST", "/api/v1/catalogue/revisions", &headers, Some(&changes)).await;
    assert_eq!(kept.status, StatusCode::CREATED, "{}", kept.text);
    let document = House::demo_file("enquiries/camper-low-at-the-back.toml");
    let mut asked = enquiry(&Value::Null, "Quelholt", "open");
    asked["document"] = json!(document);
    let place = format!("/enquiries/{}", house.made(&owner, "/api/v1/enquiries", &asked).await);
    let why = "the axle has no torsion bars";
    let list = |page: &str| page.split("id=\"draft-quote\"").nth(1).map(|rest| rest.matches("<tr").count());
    let usual = house.get(&owner, &format!("{place}?state=fully_laden")).await;
    let page = house.get(&owner, &format!("{place}?kit=bars-on-coils&state=fully_laden")).await;
    assert_eq!((page.status, usual.status), (StatusCode::OK, StatusCode::OK));
    assert!(list(&page.text).is_some_and(|rows| rows > 5), "{}", page.text);
    assert_eq!(list(&page.text), list(&usual.text));
    let pictures = page.text.split("class=\"pictures\"").nth(1).unwrap().split("</section>").next().unwrap();
    assert!(pictures.contains(why) && pictures.contains("<svg"), "{pictures}");
    let chain = house.get(&owner, &format!("{place}/why?figure=verdict&kit=bars-on-coils")).await;
    assert!(chain.text.contains("<p class=\"told\">out</p>") && chain.text.contains(why), "{}", chain.text);
    assert!(!usual.text.split("id=\"draft-quote\"").next().unwrap().contains(why), "{}", usual.text);
}
