//! Photos of vans and jobs.

use std::io::Cursor;

use axum::http::StatusCode;
use image::{DynamicImage, ImageBuffer, ImageFormat, Rgb};

use crate::common::{House, PASSPHRASE, add_van};

fn picture(format: ImageFormat) -> Vec<u8> {
    let drawn = ImageBuffer::from_fn(64, 48, |x, y| Rgb([x as u8 * 3, y as u8 * 5, 90]));
    let mut bytes = Cursor::new(Vec::new());
    DynamicImage::from(drawn).write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

#[tokio::test]
async fn law_a_photo_is_kept_shown_as_an_attachment_and_removed() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let (_, van) = add_van(&house, &owner).await;
    let place = format!("/api/v1/vans/{van}/photos");
    for (said, format) in [("image/jpeg", ImageFormat::Jpeg), ("image/png", ImageFormat::Png)] {
        let headers = [("cookie", &*owner), ("content-type", said)];
        let to = format!("{place}?caption=sill%20rusted");
        let kept = house.send_bytes("POST", &to, &headers, Some(picture(format))).await;
        assert_eq!(kept.status, StatusCode::CREATED, "{}", kept.text);
        let (kept, etag) = (kept.json(), kept.headers["etag"].to_str().unwrap().to_owned());
        assert_eq!(
            (kept["body"]["about_kind"].as_str(), kept["body"]["about"].as_str()),
            (Some("van"), Some(&*van))
        );
        assert_eq!(kept["body"]["caption"], "sill rusted");
        let photo = format!("/api/v1/photos/{}", kept["id"].as_str().unwrap());
        let file = house.get(&owner, &format!("{photo}/file")).await;
        assert_eq!((file.status, &file.headers["content-type"]), (StatusCode::OK, &said.parse().unwrap()));
        assert!(file.headers["content-disposition"].to_str().unwrap().starts_with("attachment"));
        let policy = file.headers["content-security-policy"].to_str().unwrap();
        assert!(policy.contains("sandbox") && policy.contains("default-src 'none'"), "{policy}");
        assert_eq!(file.headers["x-content-type-options"], "nosniff");
        let seen = image::load_from_memory_with_format(&file.bytes, format).unwrap();
        assert_eq!((seen.width(), seen.height()), (64, 48));
        assert_eq!(house.get(&owner, &place).await.json()["records"].as_array().unwrap().len(), 1);
        let stale = house.send("DELETE", &photo, &[("cookie", &owner), ("if-match", "\"9\"")], None).await;
        assert_eq!(stale.status, StatusCode::PRECONDITION_FAILED);
        let gone = house.send("DELETE", &photo, &[("cookie", &owner), ("if-match", &etag)], None).await;
        assert_eq!(gone.status, StatusCode::NO_CONTENT);
        assert_eq!(house.get(&owner, &format!("{photo}/file")).await.status, StatusCode::NOT_FOUND);
        assert_eq!(house.get(&owner, &place).await.json()["records"].as_array().unwrap().len(), 0);
    }
}

#[tokio::test]
async fn law_a_photo_sent_twice_under_one_key_is_kept_once() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let (_, van) = add_van(&house, &owner).await;
    let place = format!("/api/v1/vans/{van}/photos");
    let headers = [("cookie", &*owner), ("content-type", "image/png"), ("idempotency-key", "k")];
    let first = house.send_bytes("POST", &place, &headers, Some(picture(ImageFormat::Png))).await;
    let again = house.send_bytes("POST", &place, &headers, Some(picture(ImageFormat::Png))).await;
    assert_eq!((first.status, &first.text), (StatusCode::CREATED, &again.text));
    assert_eq!(house.get(&owner, &place).await.json()["records"].as_array().unwrap().len(), 1);
}

/// Not what it says, nothing at all, a script in a drawing, a page, cut short, too long, about nothing.
#[tokio::test]
async fn law_hostile_uploads_are_refused_by_name() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let (_, van) = add_van(&house, &owner).await;
    let place = format!("/api/v1/vans/{van}/photos");
    let (jpeg, png) = (picture(ImageFormat::Jpeg), picture(ImageFormat::Png));
    let svg = b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>".to_vec();
    let gif = [&b"GIF89a"[..], &png].concat();
    let cases: [(&str, Vec<u8>, u16, &str); 9] = [
        ("image/png", jpeg.clone(), 415, "not_a_photo"),
        ("image/jpeg", png.clone(), 415, "not_a_photo"),
        ("image/svg+xml", svg.clone(), 415, "not_a_photo"),
        ("image/png", svg, 415, "not_a_photo"),
        ("image/png", gif, 415, "not_a_photo"),
        ("text/html", png.clone(), 415, "not_a_photo"),
        ("image/jpeg", jpeg[..jpeg.len() / 2].to_vec(), 422, "photo_damaged"),
        ("image/png", png[..png.len() / 2].to_vec(), 422, "photo_damaged"),
        ("image/jpeg", [jpeg, vec![0; 9 << 20]].concat(), 413, "refused"),
    ];
    for (said, bytes, status, code) in cases {
        let headers = [("cookie", &*owner), ("content-type", said)];
        let reply = house.send_bytes("POST", &place, &headers, Some(bytes)).await;
        assert_eq!((reply.status.as_u16(), reply.code().as_str()), (status, code), "{said}: {}", reply.text);
    }
    let headers = [("cookie", &*owner), ("content-type", "image/png")];
    let reply = house.send_bytes("POST", "/api/v1/jobs/nothing/photos", &headers, Some(png)).await;
    assert_eq!(reply.status, StatusCode::NOT_FOUND);
    assert_eq!(house.get(&owner, &place).await.json()["records"].as_array().unwrap().len(), 0);
}

#[tokio::test]
async fn law_fitters_add_photos_and_readers_only_look() {
    let house = House::new().await;
    let owner = house.set_up().await;
    let (_, van) = add_van(&house, &owner).await;
    for (role, may) in [("fitter", StatusCode::CREATED), ("reader", StatusCode::FORBIDDEN)] {
        house.add_user(&owner, role, role).await;
        let cookie = house.sign_in(role, PASSPHRASE).await.cookie();
        let headers = [("cookie", &*cookie), ("content-type", "image/png")];
        let place = format!("/api/v1/vans/{van}/photos");
        let reply = house.send_bytes("POST", &place, &headers, Some(picture(ImageFormat::Png))).await;
        assert_eq!(reply.status, may, "{role}: {}", reply.text);
        assert_eq!(house.get(&cookie, &place).await.json()["records"].as_array().unwrap().len(), 1);
    }
}
