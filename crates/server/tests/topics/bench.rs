//! The page of a spring on the bench.

use axum::http::StatusCode;

use crate::common::House;

#[tokio::test]
async fn law_readings_on_a_line_give_its_rate_and_free_length() {
    let house = House::new().await;
    let owner = house.set_up().await;
    // 300 mm free, 50 N/mm, typed in other units and out of order: nothing but the line itself can come back
    let typed =
        "spring=%3Cscript%3E&length-1=20+cm&load-1=5+kN&length-2=250&load-2=2500&length-3=150&load-3=7,5+kN";
    let page = house.get(&owner, &format!("/bench?{typed}")).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert!(page.text.contains("50.0"), "{}", page.text);
    assert!(page.text.contains("300"), "{}", page.text);
    assert!(page.text.contains("<svg"), "{}", page.text);
    assert!(!page.text.contains("<script>"), "{}", page.text);
}

#[tokio::test]
async fn law_what_cannot_be_is_refused_and_what_was_typed_stays() {
    let house = House::new().await;
    let owner = house.set_up().await;
    for (typed, box_named) in [
        ("length-1=200&load-1=5000&length-2=250&load-2=6000&length-3=150&load-3=7500", "load-2"),
        ("length-1=200&load-1=5000&length-2=200&load-2=4000&length-3=150&load-3=7500", "length-2"),
        ("length-1=200&load-1=5000&length-2=250", "load-2"),
        ("length-1=200&load-1=5000&length-2=250&load-2=2500", "length-3"),
        ("length-1=-200&load-1=5000", "length-1"),
    ] {
        let page = house.get(&owner, &format!("/bench?{typed}")).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{typed}: {}", page.text);
        assert!(page.text.contains(&format!("href=\"#{box_named}\"")), "{typed}: {}", page.text);
        assert!(page.text.contains("value=\"5000\"") && !page.text.contains("<svg"), "{typed}");
    }
}
