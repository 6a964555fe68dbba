//! The catalogue's pages: a change is looked at before it is saved; an import is all or nothing.

use axum::http::StatusCode;
use serde_json::json;

use crate::common::{House, send_form, with_catalogue};

const KIT: &str = "kits/hasterby-low-deck-leaf-60.toml";

async fn text_of(house: &House, owner: &str, path: &str) -> String {
    let place = format!("/api/v1/catalogue/document?path={path}");
    house.get(owner, &place).await.json()["text"].as_str().unwrap_or_default().to_owned()
}

async fn revision(house: &House, owner: &str) -> String {
    house.get(owner, "/api/v1/catalogue").await.json()["revision"].to_string()
}

/// An answer as it was given to a van for which the kit is sold.
async fn answered(house: &House, owner: &str) {
    let document = std::fs::read_to_string(
        std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../../data/demo/enquiries/air-makes-it-legal.toml"),
    )
    .unwrap();
    let body = json!({"customer": null, "van": null, "caller": "Hanne", "phone": null, "question": "?",
        "document": document, "state": "open"});
    let kept = house.post(owner, "/api/v1/enquiries", &body).await.json();
    let place = format!("/api/v1/enquiries/{}/answers", kept["id"].as_str().unwrap());
    let answer = house.post(owner, &place, &json!({"about": "shortlist"})).await;
    assert_eq!(answer.status, StatusCode::CREATED, "{}", answer.text);
}

#[tokio::test]
async fn law_a_change_shows_its_effect_and_changes_nothing_until_it_is_saved() {
    let house = House::new().await;
    let owner = with_catalogue(&house).await;
    answered(&house, &owner).await;
    let place = format!("/catalogue/document?path={KIT}");
    let before = text_of(&house, &owner, KIT).await;
    // a remark changes no answer
    let remarked = format!("# a remark\n{before}");
    let same = send_form(&house, &owner, &place, &[("saw", "1"), ("do", "text"), ("text", &remarked)]).await;
    assert_eq!(same.status, StatusCode::OK, "{}", same.text);
    assert!(same.text.contains("No past answer changes."), "{}", same.text);
    // a kit that is no longer sold for the van is out, or gone from the list, or another comes first
    let other = before.replace("[\"wendor\"]", "[\"sorvel\"]");
    assert_ne!(other, before);
    let looked = send_form(&house, &owner, &place, &[("saw", "1"), ("do", "text"), ("text", &other)]).await;
    assert_eq!(looked.status, StatusCode::OK, "{}", looked.text);
    assert!(
        looked.text.contains("class=\"effect\"") && looked.text.contains("Nothing is saved yet."),
        "{}",
        looked.text
    );
    assert_eq!(
        (text_of(&house, &owner, KIT).await, revision(&house, &owner).await),
        (before.clone(), "1".into())
    );
    let saved = send_form(&house, &owner, &place, &[("saw", "1"), ("do", "save"), ("text", &other)]).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
    assert_eq!(text_of(&house, &owner, KIT).await.trim_end(), other.trim_end());
    // the text before is taken back as a new revision
    let earlier = house.get(&owner, &format!("{place}&revision=1")).await;
    assert!(earlier.text.contains("wendor") && earlier.text.contains("revision=1"), "{}", earlier.text);
    let back = send_form(&house, &owner, &place, &[("saw", "2"), ("do", "save"), ("text", &before)]).await;
    assert_eq!(back.status, StatusCode::SEE_OTHER, "{}", back.text);
    assert_eq!(revision(&house, &owner).await, "3");
    assert_eq!(text_of(&house, &owner, KIT).await.trim_end(), before.trim_end());
}

#[tokio::test]
async fn law_a_stale_text_is_kept_and_shown_beside_what_stands() {
    let house = House::new().await;
    let owner = with_catalogue(&house).await;
    let place = format!("/catalogue/document?path={KIT}");
    let before = text_of(&house, &owner, KIT).await;
    let mine = format!("# <script>mine\n{before}");
    let theirs = format!("# theirs\n{before}");
    let saved = send_form(&house, &owner, &place, &[("saw", "1"), ("do", "save"), ("text", &theirs)]).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
    let late = send_form(&house, &owner, &place, &[("saw", "1"), ("do", "save"), ("text", &mine)]).await;
    assert_eq!(late.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        late.text.contains("mine") && late.text.contains("# theirs") && !late.text.contains("<script>"),
        "{}",
        late.text
    );
    assert_eq!(revision(&house, &owner).await, "2");
}

#[tokio::test]
async fn law_a_faulty_document_is_not_saved_and_what_was_typed_stays() {
    let house = House::new().await;
    let owner = with_catalogue(&house).await;
    let place = format!("/catalogue/document?path={KIT}");
    for deed in ["text", "save"] {
        let boxes = [("saw", "1"), ("do", deed), ("text", "id = \"<b>\"\nfits = 3")];
        let refused = send_form(&house, &owner, &place, &boxes).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
        assert!(!refused.text.contains("<b>"), "{}", refused.text);
    }
    assert_eq!(revision(&house, &owner).await, "1");
}

#[tokio::test]
async fn law_a_failed_import_changes_nothing_and_names_line_and_field() {
    let house = House::new().await;
    let owner = with_catalogue(&house).await;
    let faulty =
        [("saw", "1"), ("path", "kits/new.toml"), ("do", "import"), ("text", "id = \"new\"\nname = 3")];
    let refused = send_form(&house, &owner, "/import", &faulty).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text.contains("<td class=\"n\">2</td><td>name</td>"), "{}", refused.text);
    for path in ["../etc/passwd", "enquiries/a.toml", "notes.txt", ""] {
        let boxes = [("saw", "1"), ("path", path), ("do", "import"), ("text", "id = \"new\"")];
        let refused = send_form(&house, &owner, "/import", &boxes).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}");
    }
    assert_eq!(revision(&house, &owner).await, "1");
    let text = text_of(&house, &owner, KIT).await.replace("hasterby-low-deck-leaf-60", "new-leaf");
    let path = "kits/new-leaf.toml";
    let look = send_form(
        &house,
        &owner,
        "/import",
        &[("saw", "1"), ("path", path), ("do", "look"), ("text", &text)],
    )
    .await;
    assert_eq!(look.status, StatusCode::OK, "{}", look.text);
    assert_eq!(revision(&house, &owner).await, "1");
    let done = send_form(
        &house,
        &owner,
        "/import",
        &[("saw", "1"), ("path", path), ("do", "import"), ("text", &text)],
    )
    .await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    assert!(house.get(&owner, "/catalogue").await.text.contains("new-leaf.toml"));
}
