//! Kits sold by post: the form by which another workshop sends back what it measured.

use axum::http::StatusCode;
use serde_json::{Value, json};

use crate::common::{House, Reply, add_van};

const FORM: (&str, &str) = ("content-type", "application/x-www-form-urlencoded");
const GOOD: &str = "workshop=Gable+%26+Sons&before_front_left=&after_front_left=452,5&after_front_right=451&after_rear_left=470\
    &after_rear_right=469.5&collar_front_left=-12&settled=rolled_and_bounced&notes=%3Cscript%3E";

/// A sale and the address of its form.
async fn sold(house: &House, owner: &str) -> (String, String) {
    let (customer, van) = add_van(house, owner).await;
    let sale = json!({"customer": customer, "van": van, "answer": null, "kit": "low", "sent_ms": null, "tracking": null, "notes": ""});
    let sale =
        house.post(owner, "/api/v1/postal-sales", &sale).await.json()["id"].as_str().unwrap().to_owned();
    let link = house.post(owner, &format!("/api/v1/postal-sales/{sale}/links"), &json!({})).await;
    assert_eq!(link.status, StatusCode::CREATED, "{}", link.text);
    (sale, link.json()["path"].as_str().unwrap().to_owned())
}

async fn key_of_form(house: &House, form: &str) -> String {
    let page = house.get("", form).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    let (_, rest) = page.text.split_once("name=\"key\" value=\"").unwrap();
    rest.split('"').next().unwrap().to_owned()
}

async fn send(house: &House, form: &str, typed: &str, language: &str) -> Reply {
    house.send("POST", form, &[FORM, ("accept-language", language)], Some(typed)).await
}

async fn came_back(house: &House, owner: &str, sale: &str) -> Vec<Value> {
    let list = house.get(owner, &format!("/api/v1/postal-sales/{sale}/heights")).await;
    list.json()["records"].as_array().unwrap().clone()
}

#[tokio::test]
async fn law_heights_come_back_once_for_each_form() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let (sale, form) = sold(&house, &owner).await;
    let typed = format!("{GOOD}&key={}", key_of_form(&house, &form).await);
    for _ in 0..2 {
        let thanks = send(&house, &form, &typed, "en").await;
        assert_eq!(thanks.status, StatusCode::OK, "{}", thanks.text);
        assert!(thanks.text.contains("452.5"), "{}", thanks.text);
    }
    let kept = came_back(&house, &owner, &sale).await;
    assert_eq!(kept.len(), 1);
    assert_eq!(kept[0]["body"]["after_mm"], json!([[452.5, 451.0, 470.0, 469.5]]));
    assert_eq!(kept[0]["body"]["collar_mm"], json!([-12.0, null, null, null]));
    assert_eq!(
        (kept[0]["body"]["before_mm"].clone(), &kept[0]["body"]["workshop"]),
        (Value::Null, &json!("Gable & Sons"))
    );
    assert_eq!(
        house.get(&owner, "/api/v1/postal-heights").await.json()["records"].as_array().unwrap().len(),
        1
    );
    let other = send(&house, &form, &typed.replace("451", "455"), "de").await;
    assert_eq!(other.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(other.text.contains("schon mit anderen Werten"), "{}", other.text);
    let no_key = send(&house, &form, GOOD, "en").await;
    assert_eq!(no_key.status, StatusCode::BAD_REQUEST);
    assert_eq!(came_back(&house, &owner, &sale).await.len(), 1);
}

#[tokio::test]
async fn law_faults_are_named_in_both_languages_and_what_was_typed_stays() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let (sale, form) = sold(&house, &owner).await;
    let key = key_of_form(&house, &form).await;
    let typed = format!(
        "workshop=&after_front_left=high&after_front_right=1e999&after_rear_left=NaN&before_rear_left=460&notes=%3Cscript%3Ealert(1)%3C/script%3E&key={key}"
    );
    for (language, missing, wrong) in [
        ("en-GB", "Missing: a height", "cannot be read as a number"),
        ("de-DE,de;q=0.9", "Fehlt: eine Höhe", "ist nicht als Zahl zu lesen"),
    ] {
        let page = send(&house, &form, &typed, language).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        // the fourth after fitting, and three of four before
        assert_eq!(page.text.matches(missing).count(), 4, "{}", page.text);
        assert_eq!(page.text.matches(wrong).count(), 3, "{}", page.text);
        for kept in ["value=\"high\"", "value=\"1e999\"", "value=\"460\"", &*format!("value=\"{key}\"")] {
            assert!(page.text.contains(kept), "{kept}: {}", page.text);
        }
        assert!(!page.text.contains("<script>") && page.text.contains("alert(1)"), "{}", page.text);
    }
    assert!(came_back(&house, &owner, &sale).await.is_empty());
}

#[tokio::test]
async fn law_forms_open_by_their_own_link_only_while_it_lasts_and_not_without_end() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let (sale, form) = sold(&house, &owner).await;
    for n in 0..25 {
        let key = key_of_form(&house, &form).await;
        let typed = format!("{}&key={key}", GOOD.replace("451", &format!("{}", 400 + n)));
        let reply = send(&house, &form, &typed, "en").await;
        let expected = if n < 20 { StatusCode::OK } else { StatusCode::TOO_MANY_REQUESTS };
        assert_eq!(reply.status, expected, "{n}: {}", reply.text);
    }
    assert_eq!(came_back(&house, &owner, &sale).await.len(), 20);
    house.wait(183 * 24 * 60 * 60);
    assert_eq!(house.get("", &form).await.status, StatusCode::NOT_FOUND);
    let tries: Vec<u16> = {
        let mut statuses = Vec::new();
        for n in 0..20 {
            statuses.push(house.get("", &format!("/postal/{n}")).await.status.as_u16());
        }
        statuses
    };
    assert!(tries.contains(&404) && tries.ends_with(&[429]), "{tries:?}");
}

#[tokio::test]
async fn law_heights_are_sent_in_millimetres_or_inches_and_told_back_in_both() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let (sale, form) = sold(&house, &owner).await;
    let inches = "workshop=Gable&units=inches&settled=on_turn_plates&after_front_left=17+3%2F4&after_front_right=450+mm\
        &after_rear_left=18.5";
    let key = key_of_form(&house, &form).await;
    // the fourth is out of range, in the units of the form
    let refused = send(&house, &form, &format!("{inches}&after_rear_right=400&key={key}"), "en").await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    for told in ["Understood: 17.75 in = 450.9 mm", "between 3.94 and 39.37 in", "value=\"inches\" checked"] {
        assert!(refused.text.contains(told), "{told}: {}", refused.text);
    }
    let thanks = send(&house, &form, &format!("{inches}&after_rear_right=18,5&key={key}"), "en").await;
    assert_eq!(thanks.status, StatusCode::OK, "{}", thanks.text);
    assert!(thanks.text.contains("469.9 mm (18.500 in)"), "{}", thanks.text);
    let kept = came_back(&house, &owner, &sale).await;
    assert_eq!(kept[0]["body"]["after_mm"], json!([[450.85, 450.0, 469.9, 469.9]]));
}
