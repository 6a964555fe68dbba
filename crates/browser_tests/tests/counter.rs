//! The counter's pages in a real browser.

#![allow(clippy::unwrap_used)]

use std::path::Path;

use browser_tests::{Browser, Light, Workshop};
use serde_json::json;
use thirtyfour::Key;

/// Answers until the shortlist is there, by keys alone.
async fn ring_up(browser: &Browser) -> anyhow::Result<usize> {
    let mut answers = 0;
    browser.go("/enquiries").await?;
    browser.tab_to("new-enquiry").await?;
    browser.press(Key::Enter + "").await?;
    browser.wait_for("#van").await?;
    browser.tab_to("van").await?;
    browser.press("Lumarik").await?;
    browser.tab_to("caller").await?;
    browser.press("Hanne Orvik").await?;
    browser.press(Key::Enter + "").await?;
    answers += 1;
    browser.wait_for("#wish_drop").await?;
    for (id, keys) in [("furnishing", "Camper"), ("wish_drop", "40"), ("wish_state", "day")] {
        browser.tab_to(id).await?;
        browser.press(keys).await?;
        browser.press(Key::Tab + "").await?;
        answers += 1;
        let changed = format!(
            "const box = document.getElementById('{id}');
            return box.value !== '' && document.querySelector('[name=was-{id}]').value === box.value"
        );
        browser.wait_until(&changed).await?;
    }
    Ok(answers)
}

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn law_a_phone_enquiry_is_answered_by_keyboard_alone_in_eight_answers_or_fewer() {
    let workshop = Workshop::serve("keyboard").unwrap();
    let browser = Browser::open(&workshop).await.unwrap();
    browser.set_up(&workshop).await.unwrap();
    let answers = ring_up(&browser).await.unwrap();
    assert!(answers <= 8, "{answers} answers");
    assert_eq!(browser.told("return document.getElementById('wish_drop').value").await.unwrap(), json!("40"));
    let spoken = browser.text(".spoken li").await.unwrap();
    assert!(spoken.contains("millimetres lower than today"), "{spoken}");
    // the focus stays with whoever types: the next key goes to the next question
    let focused = browser.told("return document.activeElement.id").await.unwrap();
    assert_eq!(focused, json!("wish_by"));
    assert_eq!(browser.console_faults().await.unwrap(), Vec::<String>::new());
}

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn law_what_two_people_answer_at_once_is_kept_or_asked_about() {
    let workshop = Workshop::serve("two").unwrap();
    let (one, other) = (Browser::open(&workshop).await.unwrap(), Browser::open(&workshop).await.unwrap());
    one.set_up(&workshop).await.unwrap();
    other.sign_in().await.unwrap();
    ring_up(&one).await.unwrap();
    let place = one.told("return location.pathname").await.unwrap();
    other.go(place.as_str().unwrap()).await.unwrap();
    let answer = async |browser: &Browser, id: &str, keys: &str| {
        browser.told(&format!("document.getElementById('{id}').value = ''")).await.unwrap();
        browser.find(&format!("#{id}")).await.unwrap().send_keys(keys).await.unwrap();
        browser.press(Key::Tab + "").await.unwrap();
    };
    answer(&one, "wish_drop", "30").await;
    one.wait_until("return document.querySelector('[name=was-wish_drop]').value === '30'").await.unwrap();
    answer(&other, "wish_drop", "20").await;
    other.wait_for("#not-saved").await.unwrap();
    let said = other.text("#not-saved").await.unwrap();
    assert!(said.contains("30"), "{said}");
    // what was typed is still there, and another question of the same page is not in the way
    assert_eq!(other.told("return document.getElementById('wish_drop').value").await.unwrap(), json!("20"));
}

/// Load of the rear axle as the page shows it, and the place of the first item, mm.
const REAR_AND_PLACE: &str =
    "const rear = document.querySelector('[data-figure=axle_load_kg][data-corner=rear_left]');
    const box = document.getElementById('item-0-behind_front_axle_mm');
    return [parseFloat(rear.textContent), Number(box.value)]";

async fn rear_and_place(browser: &Browser) -> (f64, f64) {
    let told = browser.told(REAR_AND_PLACE).await.unwrap();
    (told[0].as_f64().unwrap(), told[1].as_f64().unwrap())
}

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn law_an_item_is_moved_by_keys_and_by_hand_and_the_axle_loads_follow() {
    let workshop = Workshop::serve("loads").unwrap();
    let browser = Browser::open(&workshop).await.unwrap();
    browser.set_up(&workshop).await.unwrap();
    ring_up(&browser).await.unwrap();
    let place = browser.told("return location.pathname").await.unwrap();
    browser.go(&format!("{}/loads?state=day_to_day", place.as_str().unwrap())).await.unwrap();
    for (id, typed) in
        [("name", "Chest"), ("mass_kg", "300"), ("behind_front_axle_mm", "1500"), ("above_ground_mm", "800")]
    {
        browser.find(&format!("#new-{id}")).await.unwrap().send_keys(typed).await.unwrap();
    }
    browser.find("#new-day_to_day").await.unwrap().send_keys(Key::Space + "").await.unwrap();
    browser.find("form#loads button").await.unwrap().send_keys(Key::Enter + "").await.unwrap();
    browser.wait_for(".handle").await.unwrap();
    let (rear, behind) = rear_and_place(&browser).await;
    // thirty steps aft
    browser.told("document.querySelector('.handle').focus()").await.unwrap();
    for _ in 0..30 {
        browser.press(Key::Down + "").await.unwrap();
    }
    browser
        .wait_until(
            "return document.querySelector('[name=was-item-0-behind_front_axle_mm]').value === '1800'",
        )
        .await
        .unwrap();
    let (rear_by_keys, behind_by_keys) = rear_and_place(&browser).await;
    assert_eq!(behind_by_keys, behind + 300.0);
    assert!(rear_by_keys > rear + 20.0, "{rear} to {rear_by_keys}");
    // the focus stays on what is moved
    let focused = browser.told("return document.activeElement.dataset.handle").await.unwrap();
    assert_eq!(focused, json!("0"));
    let handle = browser.find(".handle").await.unwrap();
    browser.drag(&handle, 0, 40).await.unwrap();
    browser
        .wait_until(
            "return Number(document.querySelector('[name=was-item-0-behind_front_axle_mm]').value) > 1800",
        )
        .await
        .unwrap();
    let (rear_by_hand, behind_by_hand) = rear_and_place(&browser).await;
    assert!(
        behind_by_hand > behind_by_keys && rear_by_hand > rear_by_keys,
        "{behind_by_hand}: {rear_by_hand}"
    );
    assert_eq!(browser.console_faults().await.unwrap(), Vec::<String>::new());
}

/// Pages of someone in the office.
const PAGES: [(&str, &str); 11] = [
    ("enquiries", "/enquiries"),
    ("new-enquiry", "/enquiries/new"),
    ("diary", "/diary"),
    ("jobs", "/jobs"),
    ("search", "/search?q=Hanne"),
    ("bench", "/bench"),
    ("catalogue", "/catalogue"),
    ("rules", "/rules"),
    ("import", "/import"),
    ("document", "/catalogue/document?path=kits/hasterby-low-deck-leaf-60.toml"),
    (
        "bench-read",
        "/bench?length-1=280&load-1=1000&length-2=260&load-2=2010&length-3=240&load-3=2990&length-4=220&load-4=4010",
    ),
];

#[tokio::test(flavor = "multi_thread", worker_threads = 1)]
async fn law_every_page_is_accessible_and_breaks_no_policy() {
    let pictures = Path::new(env!("CARGO_TARGET_TMPDIR")).join("pages");
    let workshop = Workshop::serve("pages").unwrap();
    let browser = Browser::open(&workshop).await.unwrap();
    browser.go("/set-up").await.unwrap();
    let mut found = Vec::new();
    found.extend(looked_at(&browser, &pictures, "set-up").await);
    browser.set_up(&workshop).await.unwrap();
    ring_up(&browser).await.unwrap();
    let enquiry = browser.told("return location.pathname").await.unwrap().as_str().unwrap().to_owned();
    let kit = browser.told("return new URL(document.querySelector('th a').href).search").await.unwrap();
    let chain = format!("{enquiry}/why{}&figure=level_mm", kit.as_str().unwrap());
    let mut pages: Vec<(&str, String)> = PAGES.map(|(name, path)| (name, path.to_owned())).into();
    let loads = format!("{enquiry}/loads");
    pages.extend([
        ("enquiry", enquiry),
        ("loads", loads),
        ("why", chain),
        ("nothing", "/nowhere".to_owned()),
    ]);
    for (name, path) in pages {
        browser.go(&path).await.unwrap();
        found.extend(looked_at(&browser, &pictures, name).await);
    }
    assert!(found.is_empty(), "{found:#?}");
}

/// Violations and console faults of a page in every width and light; pictures are kept.
async fn looked_at(browser: &Browser, pictures: &Path, name: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (width, device) in [(390, "phone"), (820, "tablet"), (1366, "desktop")] {
        for light in [Light::Light, Light::Dark] {
            browser.look(width, light).await.unwrap();
            let file = pictures.join(format!("{name}-{device}-{light:?}.png").to_lowercase());
            browser.picture(&file).await.unwrap();
            let violations = browser.violations().await.unwrap();
            found.extend(violations.into_iter().map(|what| format!("{name} {device} {light:?}: {what}")));
        }
    }
    let console = browser.console_faults().await.unwrap();
    // the browser itself tells of a page that is not there
    let console = console.into_iter().filter(|fault| !(name == "nothing" && fault.contains("404")));
    found.extend(console.map(|fault| format!("{name}: {fault}")));
    found
}
