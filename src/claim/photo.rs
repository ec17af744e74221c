//! Photographs, made small enough for mail. Keeps no camera data: where and with what a picture was taken is nobody's
//! business. The original stays in the shop's folder; its hash stands in the letter.

use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageDecoder, ImageReader, Limits, imageops::FilterType};
use std::io::Cursor;

/// The longest side of a photograph in a letter, in pixels.
pub const LONGEST: u32 = 1600;
/// The largest side that is read at all.
const MOST_SIDE: u32 = 20_000;
/// The most memory that reading may take.
const MOST_MEMORY: u64 = 512 * 1024 * 1024;
const QUALITY: u8 = 82;

/// Returns a JPEG of the photograph, turned upright, with at most `LONGEST` pixels on its longer side. The same bytes
/// in give the same bytes out.
///
/// # Errors
/// It is no JPEG or PNG, or too large to read; in words.
pub fn for_mail(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|error| format!("not a picture: {error}"))?;
    let mut limits = Limits::default();
    limits.max_image_width = Some(MOST_SIDE);
    limits.max_image_height = Some(MOST_SIDE);
    limits.max_alloc = Some(MOST_MEMORY);
    reader.limits(limits);
    let refused = |error: image::ImageError| format!("not a picture that can be read: {error}");
    let mut decoder = reader.into_decoder().map_err(refused)?;
    let orientation = decoder.orientation().map_err(refused)?;
    let mut picture = DynamicImage::from_decoder(decoder).map_err(refused)?;
    picture.apply_orientation(orientation);
    if picture.width().max(picture.height()) > LONGEST {
        picture = picture.resize(LONGEST, LONGEST, FilterType::Triangle);
    }
    let mut out = Vec::new();
    let rgb = picture.to_rgb8();
    JpegEncoder::new_with_quality(&mut out, QUALITY)
        .encode_image(&rgb)
        .map_err(refused)?;
    Ok(out)
}

/// Returns whether a file is a photograph by its name.
pub fn is_photo(name: &str) -> bool {
    let name = name.to_ascii_lowercase();
    [".jpg", ".jpeg", ".png"]
        .iter()
        .any(|end| name.ends_with(end))
}

#[cfg(test)]
mod tests {
    use super::{LONGEST, for_mail};
    use image::{ImageFormat, RgbImage};
    use std::io::Cursor;

    fn png(width: u32, height: u32) -> Vec<u8> {
        let picture = RgbImage::from_fn(width, height, |x, y| {
            image::Rgb([(x % 256) as u8, (y % 256) as u8, 90])
        });
        let mut out = Cursor::new(Vec::new());
        picture.write_to(&mut out, ImageFormat::Png).unwrap();
        out.into_inner()
    }

    #[test]
    fn a_large_photograph_is_made_small_and_a_small_one_keeps_its_size() {
        for (width, height, scaled) in [
            (4000, 3000, (1600, 1200)),
            (300, 200, (300, 200)),
            (10, 5000, (3, 1600)),
        ] {
            let out = for_mail(&png(width, height)).unwrap();
            let back = image::load_from_memory_with_format(&out, ImageFormat::Jpeg).unwrap();
            assert_eq!((back.width(), back.height()), scaled);
            assert!(back.width().max(back.height()) <= LONGEST);
        }
    }

    #[test]
    fn the_same_photograph_gives_the_same_bytes() {
        let picture = png(2000, 1000);
        assert_eq!(for_mail(&picture), for_mail(&picture));
    }

    #[test]
    fn what_is_no_picture_is_refused() {
        for bytes in [
            &b""[..],
            b"hello",
            b"\xff\xd8\xff\xe0broken",
            &png(100, 100)[..60],
        ] {
            assert!(for_mail(bytes).is_err());
        }
    }
}
