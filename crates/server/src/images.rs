//! Photos as they come in: only JPEG and PNG, known by their first bytes, drawn anew, so that nothing but the picture is
//! kept. Place, time, camera, thumbnails and whatever else hides in a file stay behind.

use std::io::Cursor;

use axum::http::StatusCode;
use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits};

use crate::problem::{Handled, Problem};

/// Largest picture, pixels: cameras of telephones make 12 to 24 million.
const MOST_PIXELS: u64 = 32_000_000;
/// Longest side, pixels.
const LONGEST_SIDE: u32 = 16_384;
/// Memory for one picture while it is drawn anew.
const MOST_MEMORY: u64 = 4 * MOST_PIXELS;
/// Quality of JPEG, of 100: coding anew is not seen.
const QUALITY: u8 = 90;

/// A picture that was drawn anew.
#[derive(Debug)]
pub(crate) struct Picture {
    pub(crate) media_type: &'static str,
    pub(crate) bytes: Vec<u8>,
}

/// Draws a picture anew, upright, in the format it came in.
///
/// # Errors
/// 415 for anything but JPEG and PNG, or another format than was said; 422 for what is damaged, cut short or too large.
pub(crate) fn drawn_anew(said: &str, bytes: &[u8]) -> Handled<Picture> {
    let format = format_of(bytes).filter(|format| format.to_mime_type() == said).ok_or_else(|| {
        let words = (
            "a photo is image/jpeg or image/png, and its bytes must be what its Content-Type says",
            "ein Foto ist image/jpeg oder image/png, und seine Bytes müssen dem Content-Type entsprechen",
        );
        Problem::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, "not_a_photo", words)
    })?;
    if format == ImageFormat::Jpeg && !is_whole_jpeg(bytes) {
        return Err(damaged());
    }
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    let mut limits = Limits::default();
    limits.max_image_width = Some(LONGEST_SIDE);
    limits.max_image_height = Some(LONGEST_SIDE);
    limits.max_alloc = Some(MOST_MEMORY);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(|e| not_read(&e))?;
    let (width, height) = decoder.dimensions();
    if u64::from(width) * u64::from(height) > MOST_PIXELS || decoder.total_bytes() > MOST_MEMORY {
        return Err(too_large());
    }
    let orientation = decoder.orientation().map_err(|e| not_read(&e))?;
    let mut picture = DynamicImage::from_decoder(decoder).map_err(|e| not_read(&e))?;
    picture.apply_orientation(orientation);
    let mut anew = Cursor::new(Vec::new());
    let written = match format {
        ImageFormat::Jpeg => picture.write_with_encoder(JpegEncoder::new_with_quality(&mut anew, QUALITY)),
        _ => picture.write_to(&mut anew, format),
    };
    written.map_err(|e| not_read(&e))?;
    Ok(Picture { media_type: format.to_mime_type(), bytes: anew.into_inner() })
}

/// The format by the first bytes: ISO/IEC 10918-1, B.2.1 (SOI and the next marker); PNG, third edition, 5.2.
fn format_of(bytes: &[u8]) -> Option<ImageFormat> {
    if bytes.starts_with(&[0xFF, 0xD8, 0xFF]) {
        Some(ImageFormat::Jpeg)
    } else if bytes.starts_with(b"\x89PNG\r\n\x1A\n") {
        Some(ImageFormat::Png)
    } else {
        None
    }
}

/// Whether the end is marked after the first scan has begun (ISO/IEC 10918-1, B.1.1: segments carry their length). The
/// decoder would fill what is missing with grey.
fn is_whole_jpeg(bytes: &[u8]) -> bool {
    const START_OF_SCAN: u8 = 0xDA;
    let mut at = 2;
    while let Some(&[0xFF, marker, high, low]) = bytes.get(at..at + 4) {
        let length = usize::from(u16::from_be_bytes([high, low]));
        match marker {
            0xFF => at += 1, // fill
            START_OF_SCAN => return bytes[at..].windows(2).any(|pair| pair == [0xFF, 0xD9]),
            _ => at += 2 + length,
        }
    }
    false
}

fn not_read(error: &image::ImageError) -> Problem {
    match error {
        image::ImageError::Limits(_) => too_large(),
        _ => damaged(),
    }
}

fn damaged() -> Problem {
    let words = (
        "the photo is damaged or cut short; send it again",
        "das Foto ist beschädigt oder abgeschnitten; senden Sie es noch einmal",
    );
    Problem::new(StatusCode::UNPROCESSABLE_ENTITY, "photo_damaged", words)
}

fn too_large() -> Problem {
    let millions = MOST_PIXELS / 1_000_000;
    let words = (
        format!("the photo has too many pixels; at most {millions} million are taken"),
        format!("das Foto hat zu viele Bildpunkte; höchstens {millions} Millionen werden genommen"),
    );
    Problem::new(StatusCode::UNPROCESSABLE_ENTITY, "photo_too_large", words)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use image::{ImageBuffer, Rgb};
    use proptest::prelude::*;

    use super::*;

    fn picture(format: ImageFormat) -> Vec<u8> {
        let drawn = ImageBuffer::from_fn(40, 30, |x, y| Rgb([x as u8 * 6, y as u8 * 8, 90]));
        let mut bytes = Cursor::new(Vec::new());
        DynamicImage::from(drawn).write_to(&mut bytes, format).unwrap();
        bytes.into_inner()
    }

    fn code(said: &str, bytes: &[u8]) -> String {
        drawn_anew(said, bytes).unwrap_err().code().to_owned()
    }

    /// A PNG chunk: length, type, data, CRC-32 (PNG, third edition, 5.3 and annex D).
    fn chunk(kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
        let mut crc = u32::MAX;
        for &byte in kind.iter().chain(data) {
            crc ^= u32::from(byte);
            for _ in 0..8 {
                crc = if crc & 1 == 1 { crc >> 1 ^ 0xEDB8_8320 } else { crc >> 1 };
            }
        }
        let length = (data.len() as u32).to_be_bytes();
        [&length[..], kind, data, &(!crc).to_be_bytes()].concat()
    }

    /// A PNG that says it has so many pixels.
    fn png_of(width: u32, height: u32) -> Vec<u8> {
        let head = [&width.to_be_bytes()[..], &height.to_be_bytes(), &[8, 2, 0, 0, 0]].concat();
        let whole = picture(ImageFormat::Png);
        [&whole[..8], &chunk(b"IHDR", &head), &whole[33..]].concat()
    }

    #[test]
    fn law_photos_come_back_in_size_and_nearly_in_colour() {
        for format in [ImageFormat::Jpeg, ImageFormat::Png] {
            let before = picture(format);
            let anew = drawn_anew(format.to_mime_type(), &before).unwrap();
            let seen = |bytes: &[u8]| image::load_from_memory_with_format(bytes, format).unwrap().to_rgb8();
            let (before, after) = (seen(&before), seen(&anew.bytes));
            assert_eq!(before.dimensions(), after.dimensions());
            let apart = before.iter().zip(after.iter()).map(|(a, b)| a.abs_diff(*b)).max().unwrap();
            assert!(apart <= 24, "{format:?}: {apart} of 255");
        }
    }

    /// Exif puts the place into APP1 and a camera held upright into the orientation (CIPA DC-008, 4.6.4): 6 is a quarter
    /// turn.
    #[test]
    fn val_place_stays_behind_and_upright_photos_stand_upright() {
        let tiff =
            [&b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0\x06\0\0\0\0\0\0\0"[..], b"GPS 52.5 N 13.4 E"]
                .concat();
        let exif = [b"Exif\0\0".as_slice(), &tiff].concat();
        let length = (exif.len() as u16 + 2).to_be_bytes();
        let plain = picture(ImageFormat::Jpeg);
        let with_place = [&plain[..2], &[0xFF, 0xE1], &length, &exif, &plain[2..]].concat();
        let anew = drawn_anew("image/jpeg", &with_place).unwrap().bytes;
        assert!(!anew.windows(3).any(|three| three == b"GPS"));
        assert!(!anew.windows(4).any(|four| four == b"Exif"));
        let turned = image::load_from_memory(&anew).unwrap();
        assert_eq!((turned.width(), turned.height()), (30, 40));
    }

    #[test]
    fn law_what_follows_a_picture_stays_behind() {
        for format in [ImageFormat::Jpeg, ImageFormat::Png] {
            let script = b"<script>alert(1)</script>PK\x03\x04";
            let polyglot = [&picture(format)[..], script].concat();
            let anew = drawn_anew(format.to_mime_type(), &polyglot).unwrap().bytes;
            assert!(!anew.windows(7).any(|seven| seven == b"<script"), "{format:?}");
        }
    }

    #[test]
    fn law_other_files_are_refused_whatever_they_say() {
        let svg = b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>";
        for said in ["image/jpeg", "image/png", "image/svg+xml", "text/html", ""] {
            for bytes in [&svg[..], b"GIF89a", b"%PDF-1.7", b"", b"\xFF\xD8", b"<html>"] {
                assert_eq!(code(said, bytes), "not_a_photo", "{said}");
            }
        }
        assert_eq!(code("image/png", &picture(ImageFormat::Jpeg)), "not_a_photo");
        assert_eq!(code("image/jpeg", &picture(ImageFormat::Png)), "not_a_photo");
    }

    #[test]
    fn law_pictures_that_would_unpack_without_end_are_refused() {
        for (width, height) in
            [(60_000, 60_000), (u32::MAX >> 1, u32::MAX >> 1), (16_000, 16_000), (1, 20_000)]
        {
            assert_eq!(code("image/png", &png_of(width, height)), "photo_too_large", "{width} x {height}");
        }
        let mut jpeg = picture(ImageFormat::Jpeg);
        let frame = jpeg.windows(2).position(|pair| pair == [0xFF, 0xC0]).unwrap();
        jpeg[frame + 5..frame + 9].copy_from_slice(&[0xFF; 4]);
        // the decoder has a limit of its own, and calls what is beyond it a fault
        assert!(["photo_too_large", "photo_damaged"].contains(&code("image/jpeg", &jpeg).as_str()));
    }

    proptest! {
        #[test]
        fn law_a_photo_cut_short_is_refused(cut in 0.0..0.85_f64) {
            for format in [ImageFormat::Jpeg, ImageFormat::Png] {
                let whole = picture(format);
                let part = &whole[..(whole.len() as f64 * cut) as usize];
                prop_assert!(drawn_anew(format.to_mime_type(), part).is_err(), "{:?} {}", format, part.len());
            }
        }

        #[test]
        fn law_any_bytes_are_drawn_or_refused(place in 3_usize..600, with: Vec<u8>) {
            for format in [ImageFormat::Jpeg, ImageFormat::Png] {
                let mut bytes = picture(format);
                let from = place.min(bytes.len());
                let to = (from + with.len()).min(bytes.len());
                bytes[from..to].copy_from_slice(&with[..to - from]);
                drop(drawn_anew(format.to_mime_type(), &bytes));
            }
        }
    }
}
