//! The catalogue's pages: a change is looked at before it is saved; an import is all or nothing.

use axum::http::StatusCode;
use serde_json::json;

use crate::common::{House, Reply, send_form, with_catalogue};

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
    let saved = saved(&house, &owner, &place, "1", &other).await;
    assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
    assert_eq!(text_of(&house, &owner, KIT).await.trim_end(), other.trim_end());
    // the text before is taken back as a new revision
    let earlier = house.get(&owner, &format!("{place}&revision=1")).await;
    assert!(earlier.text.contains("wendor") && earlier.text.contains("revision=1"), "{}", earlier.text);
    let back = self::saved(&house, &owner, &place, "2", &before).await;
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
    let saved = saved(&house, &owner, &place, "1", &theirs).await;
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

/// What a preview says of what it was made from.
fn digest(page: &Reply) -> String {
    let (_, rest) =
        page.text.split_once("name=\"digest\" value=\"").unwrap_or_else(|| panic!("{}", page.text));
    rest.split('"').next().unwrap().to_owned()
}

/// Looks at a text and saves it.
async fn saved(house: &House, owner: &str, place: &str, saw: &str, text: &str) -> Reply {
    let looked = send_form(house, owner, place, &[("saw", saw), ("do", "text"), ("text", text)]).await;
    let boxes = [("saw", saw), ("do", "save"), ("text", text), ("digest", &digest(&looked))];
    send_form(house, owner, place, &boxes).await
}

#[tokio::test]
async fn law_only_what_was_looked_at_is_saved() {
    let house = House::new().await;
    let owner = with_catalogue(&house).await;
    let place = format!("/catalogue/document?path={KIT}");
    let before = text_of(&house, &owner, KIT).await;
    let mine = format!("# looked at\n{before}");
    let look = send_form(&house, &owner, &place, &[("saw", "1"), ("do", "text"), ("text", &mine)]).await;
    let digest = digest(&look);
    let save = async |text: &str, saw: &str, digest: &str| {
        let boxes = [("saw", saw), ("do", "save"), ("text", text), ("digest", digest)];
        send_form(&house, &owner, &place, &boxes).await
    };
    // another text, and none that was looked at
    for (text, digest) in [(format!("# not looked at\n{before}"), &*digest), (mine.clone(), "")] {
        let refused = save(&text, "1", digest).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
        assert!(refused.text.contains("is not what you looked at"), "{}", refused.text);
        assert!(refused.text.contains("name=\"digest\""), "looked at anew: {}", refused.text);
    }
    // another document changed since: the effect may be another
    let other = "kits/hasterby-track.toml";
    let text = format!("# theirs\n{}", text_of(&house, &owner, other).await);
    let theirs = saved(&house, &owner, &format!("/catalogue/document?path={other}"), "1", &text).await;
    assert_eq!(theirs.status, StatusCode::SEE_OTHER, "{}", theirs.text);
    let stale = save(&mine, "1", &digest).await;
    assert_eq!(stale.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", stale.text);
    assert_eq!(text_of(&house, &owner, KIT).await, before);
    let done = save(&mine, "2", &self::digest(&stale)).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    assert_eq!(text_of(&house, &owner, KIT).await.trim_end(), mine.trim_end());
}

/// A form with files, as a browser sends it.
async fn send_files(
    house: &House,
    owner: &str,
    language: &str,
    boxes: &[(&str, &str)],
    files: &[(&str, &[u8])],
) -> Reply {
    let mut body = Vec::new();
    for (name, value) in boxes {
        let part = format!("--b\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n");
        body.extend(part.into_bytes());
    }
    for (name, bytes) in files {
        let head = format!(
            "--b\r\nContent-Disposition: form-data; name=\"files\"; filename=\"{name}\"\r\nContent-Type: application/octet-stream\r\n\r\n"
        );
        body.extend(head.into_bytes());
        body.extend_from_slice(bytes);
        body.extend(b"\r\n");
    }
    body.extend(b"--b--\r\n");
    let headers = [
        ("cookie", owner),
        ("content-type", "multipart/form-data; boundary=b"),
        ("accept-language", language),
    ];
    house.send_bytes("POST", "/import", &headers, Some(body)).await
}

/// The boxes of a preview, as they come back with its button.
fn boxes_of(page: &Reply) -> Vec<(String, String)> {
    let (_, form) = page.text.split_once("name=\"digest\"").unwrap_or_else(|| panic!("{}", page.text));
    let form = form.split("</form>").next().unwrap();
    let mut boxes = vec![("do".to_owned(), "import".to_owned()), ("digest".to_owned(), digest(page))];
    for part in form.split("<input type=\"hidden\" name=\"").skip(1) {
        let (name, rest) = part.split_once("\" value=\"").unwrap();
        let value = rest.split('"').next().unwrap();
        let value = [("&#34;", "\""), ("&#39;", "'"), ("&#60;", "<"), ("&#62;", ">"), ("&#38;", "&")]
            .into_iter()
            .fold(value.to_owned(), |text, (coded, sign)| text.replace(coded, sign));
        boxes.push((name.to_owned(), value));
    }
    boxes
}

async fn import_looked_at(house: &House, owner: &str, boxes: &[(String, String)]) -> Reply {
    let boxes: Vec<(&str, &str)> =
        boxes.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    send_files(house, owner, "en", &boxes, &[]).await
}

const TABLE: &str = "id;name;maker;family;fits;front.spring.stated;front.spring.rate_n_per_mm;front.spring.free_length_mm\nsent-flat;45;Größe & Söhne;fixed_springs;sorvel;rate_and_length;31,5;340\n";

#[tokio::test]
async fn law_files_are_imported_all_or_none_and_a_second_time_change_nothing() {
    let house = House::new().await;
    let owner = with_catalogue(&house).await;
    let kit = text_of(&house, &owner, KIT).await.replace("hasterby-low-deck-leaf-60", "sent-leaf");
    // Windows-1252: one byte for each of these letters
    let western: Vec<u8> = TABLE.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect();
    let faulty = TABLE.replace("31,5", "-3").replace("sent-flat", "sent-bad");
    let mixed =
        [("sent-leaf.toml", kit.as_bytes()), ("flat.csv", &western[..]), ("bad.csv", faulty.as_bytes())];
    let refused = send_files(&house, &owner, "en", &[("do", "look")], &mixed).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
    for part in [
        "<td>bad.csv</td><td class=\"n\">2</td><td>front.spring.rate_n_per_mm</td><td>-3</td>",
        "a number from",
    ] {
        assert!(refused.text.contains(part), "{part}: {}", refused.text);
    }
    let german = send_files(&house, &owner, "de", &[("do", "look")], &mixed).await;
    assert!(
        german.text.contains("eine Zahl von") && !german.text.contains("a number from"),
        "{}",
        german.text
    );
    let look = send_files(&house, &owner, "en", &[("do", "look")], &mixed[..2]).await;
    assert_eq!(look.status, StatusCode::OK, "{}", look.text);
    assert!(look.text.contains("kits/sent-leaf.toml kits/sent-flat.toml"), "{}", look.text);
    assert_eq!(revision(&house, &owner).await, "1");
    let mut boxes = boxes_of(&look);
    let done = import_looked_at(&house, &owner, &boxes).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    assert!(text_of(&house, &owner, "kits/sent-flat.toml").await.contains("Größe & Söhne"));
    assert_eq!(text_of(&house, &owner, "kits/sent-leaf.toml").await.trim_end(), kit.trim_end());
    // again: all of it stands
    let again = send_files(&house, &owner, "en", &[("do", "look")], &mixed[..2]).await;
    assert!(
        again.text.contains("Nothing changes") && !again.text.contains("name=\"digest\""),
        "{}",
        again.text
    );
    assert_eq!(revision(&house, &owner).await, "2");
    // what comes back is not what was looked at
    boxes[3].1 = kit.replace("sent-leaf", "other-leaf");
    boxes[2].1 = "kits/other-leaf.toml".to_owned();
    let other = import_looked_at(&house, &owner, &boxes).await;
    assert_eq!(other.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", other.text);
    assert!(other.text.contains("is not what you looked at"), "{}", other.text);
    assert_eq!(revision(&house, &owner).await, "2");
}

#[tokio::test]
async fn law_hostile_files_are_refused_by_name_and_change_nothing() {
    let house = House::new().await;
    let owner = with_catalogue(&house).await;
    let hostile: [(&str, &[u8], &str); 6] = [
        ("kits.xlsx", b"id;name", "what is not a workbook"),
        ("kits.csv", b"PK\x03\x04", "a packed file"),
        ("<script>.toml", b"id = 1", "a name of no document"),
        ("../../etc/passwd", b"root", "a name of no document"),
        ("rules.toml", b"\x00\x01\x02", "a control sign"),
        ("enquiry.toml", b"", "a name of no document"),
    ];
    for (name, bytes, told) in hostile {
        let refused = send_files(&house, &owner, "en", &[("do", "look")], &[(name, bytes)]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{name}: {}", refused.text);
        assert!(
            refused.text.contains(told) && !refused.text.contains("<script>."),
            "{name}: {}",
            refused.text
        );
    }
    let many: Vec<(String, Vec<u8>)> =
        (0..60).map(|n| (format!("kits/{n}.toml"), b"id = 1".to_vec())).collect();
    let many: Vec<(&str, &[u8])> = many.iter().map(|(name, bytes)| (name.as_str(), &bytes[..])).collect();
    let refused = send_files(&house, &owner, "en", &[("do", "look")], &many).await;
    assert!(refused.text.contains("60 files"), "{}", refused.text);
    let nothing =
        send_files(&house, &owner, "en", &[("do", "look"), ("path", ""), ("text", "")], &[("", b"")]).await;
    assert_eq!(nothing.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(nothing.text.contains("Choose a file"), "{}", nothing.text);
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
    let done = import_looked_at(&house, &owner, &boxes_of(&look)).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    assert!(house.get(&owner, "/catalogue").await.text.contains("new-leaf.toml"));
}
