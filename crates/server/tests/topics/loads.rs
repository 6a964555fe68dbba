//! The page of what a van carries.

use axum::http::StatusCode;
use serde_json::json;

use crate::common::{House, send_form, with_catalogue};

/// A van with a chest of 300 kg, 1500 mm behind the front axle; wheelbase 3180 mm by its sheet.
const CHEST: &str = "\
id = \"chest\"
question = \"Where does the weight go?\"
vehicle = \"sorvel\"
grade = \"light\"

[[items]]
name = \"Chest <script>alert(1)</script>\"
mass_kg = 300
plus_minus_kg = 0
behind_front_axle_mm = 1500
above_ground_mm = 800
in = [\"day_to_day\"]

[[items]]
item = \"bed-bench\"
in = [\"day_to_day\", \"fully_laden\"]
";
const WHEELBASE_MM: f64 = 3180.0;

async fn add(house: &House, owner: &str) -> String {
    let body = json!({"customer": null, "van": null, "caller": "Hanne \"<img src=x>", "phone": null, "question": "?",
        "document": CHEST, "state": "open"});
    let kept = house.post(owner, "/api/v1/enquiries", &body).await;
    assert_eq!(kept.status, StatusCode::CREATED, "{}", kept.text);
    format!("/enquiries/{}/loads", kept.json()["id"].as_str().unwrap())
}

/// The middle of an axle's load as the page shows it, kg.
fn axle_kg(page: &str, corner: &str) -> f64 {
    let (_, from) =
        page.split_once(&format!("data-figure=\"axle_load_kg\" data-corner=\"{corner}\"")).unwrap();
    let (_, shown) = from.split_once("corner=").unwrap();
    let (_, number) = shown.split_once('>').unwrap();
    number.chars().take_while(|c| c.is_ascii_digit()).collect::<String>().parse().unwrap()
}

const ROW: [(&str, &str); 2] = [("row-0", "0 Chest <script>alert(1)</script>"), ("row-1", "0 bed-bench")];

fn boxes<'a>(more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    ROW.into_iter().chain(more.iter().copied()).collect()
}

#[tokio::test]
async fn law_moving_an_item_moves_the_axle_loads_as_statics_says() {
    let house = House::new().await;
    let owner = with_catalogue(&house).await;
    let place = add(&house, &owner).await;
    let before = house.get(&owner, &place).await;
    assert_eq!(before.status, StatusCode::OK, "{}", before.text);
    let moved =
        boxes(&[("was-item-0-behind_front_axle_mm", "1500"), ("item-0-behind_front_axle_mm", "2,5 m")]);
    let reply = send_form(&house, &owner, &place, &moved).await;
    assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text);
    let after = house.get(&owner, &place).await;
    // a metre further back, by moments about the front axle; a tail that sinks brings everything else aft a little too
    let lever_kg = 300.0 * 1000.0 / WHEELBASE_MM;
    let rear = axle_kg(&after.text, "rear_left") - axle_kg(&before.text, "rear_left");
    let front = axle_kg(&after.text, "front_left") - axle_kg(&before.text, "front_left");
    // figures are shown to a kilogram
    assert!(rear >= lever_kg - 1.0 && rear < lever_kg * 1.1, "{rear} for {lever_kg}");
    assert!((rear + front).abs() <= 1.0, "{front} and {rear}");
    let api = place.replace("/enquiries", "/api/v1/enquiries").replace("/loads", "/prediction");
    let told = house.get(&owner, &api).await.json();
    let states = told["weight"]["states"].as_array().unwrap();
    let state = states
        .iter()
        .find(|told| after.text.contains(&format!("data-state=\"{}\"", told["state"].as_str().unwrap())));
    for (axle, corner) in ["front_left", "rear_left"].into_iter().enumerate() {
        let told = state.unwrap()["axle_load_kg"][axle]["value"].as_f64().unwrap();
        let shown = axle_kg(&after.text, corner);
        assert!((shown - told).abs() <= 0.5, "{corner}: page {shown}, API {told}");
    }
    assert!(after.text.contains("value=\"2500\""), "{}", after.text);
}

#[tokio::test]
async fn law_a_stale_change_loses_nothing() {
    let house = House::new().await;
    let owner = with_catalogue(&house).await;
    let place = add(&house, &owner).await;
    let first = boxes(&[("was-item-0-mass_kg", "300"), ("item-0-mass_kg", "280")]);
    assert_eq!(send_form(&house, &owner, &place, &first).await.status, StatusCode::SEE_OTHER);
    // another box of the same line, from a page made before
    let other = boxes(&[("was-item-0-above_ground_mm", "800"), ("item-0-above_ground_mm", "900")]);
    assert_eq!(send_form(&house, &owner, &place, &other).await.status, StatusCode::SEE_OTHER);
    // the same box: asked about, and what was typed stays
    let same = boxes(&[("was-item-0-mass_kg", "300"), ("item-0-mass_kg", "250")]);
    let asked = send_form(&house, &owner, &place, &same).await;
    assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        asked.text.contains("href=\"#item-0-mass_kg\"") && asked.text.contains("value=\"250\""),
        "{}",
        asked.text
    );
    assert!(asked.text.contains("280"));
    // the line above goes; a change of the line below still finds it
    let gone = boxes(&[("was-item-0-remove", ""), ("item-0-remove", "yes")]);
    assert_eq!(send_form(&house, &owner, &place, &gone).await.status, StatusCode::SEE_OTHER);
    let below = boxes(&[("was-item-1-mass_kg", "74"), ("item-1-mass_kg", "81")]);
    assert_eq!(send_form(&house, &owner, &place, &below).await.status, StatusCode::SEE_OTHER);
    let of_gone = boxes(&[("was-item-0-mass_kg", "280"), ("item-0-mass_kg", "281")]);
    assert_eq!(send_form(&house, &owner, &place, &of_gone).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    let page = house.get(&owner, &place).await.text;
    assert!(page.contains("name=\"item-0-mass_kg\" type=\"text\" inputmode=\"decimal\" autocomplete=\"off\" aria-label=\"Folding bed bench, Mass, kg\" value=\"81\""), "{page}");
}

#[tokio::test]
async fn law_scales_are_kept_whole_or_not_and_what_they_leave_open_is_asked() {
    let house = House::new().await;
    let owner = with_catalogue(&house).await;
    let place = add(&house, &owner).await;
    let half = boxes(&[("was-weigh-day_to_day-front_kg", ""), ("weigh-day_to_day-front_kg", "1300")]);
    let refused = send_form(&house, &owner, &place, &half).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text.contains("value=\"1300\""), "{}", refused.text);
    let page = house.get(&owner, &place).await.text;
    let (front, rear) = (axle_kg(&page, "front_left"), axle_kg(&page, "rear_left") + 60.0);
    let (front, rear) = (front.to_string(), rear.to_string());
    let whole = boxes(&[
        ("was-weigh-day_to_day-front_kg", ""),
        ("weigh-day_to_day-front_kg", &front),
        ("was-weigh-day_to_day-rear_kg", ""),
        ("weigh-day_to_day-rear_kg", &rear),
    ]);
    assert_eq!(send_form(&house, &owner, &place, &whole).await.status, StatusCode::SEE_OTHER);
    let page = house.get(&owner, &place).await.text;
    assert!(page.contains("Unexplained mass") && page.contains("that nobody listed"), "{page}");
}

#[tokio::test]
async fn law_a_new_item_is_added_whole_and_hostile_text_is_text() {
    let house = House::new().await;
    let owner = with_catalogue(&house).await;
    let place = add(&house, &owner).await;
    let part = boxes(&[("new-name", "\"><img src=y>"), ("new-mass_kg", "heavy"), ("new-day_to_day", "yes")]);
    let refused = send_form(&house, &owner, &place, &part).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        refused.text.contains("href=\"#new-mass_kg\"") && refused.text.contains("value=\"heavy\""),
        "{}",
        refused.text
    );
    let whole = boxes(&[("new-item", "bed-bench"), ("new-mass_kg", "30"), ("new-day_to_day", "yes")]);
    assert_eq!(send_form(&house, &owner, &place, &whole).await.status, StatusCode::SEE_OTHER);
    let page = house.get(&owner, &place).await.text;
    assert_eq!(page.matches("data-item=").count(), 3);
    for text in [&page, &refused.text] {
        assert!(!text.contains("<img") && !text.contains("<script>"), "{text}");
    }
}
