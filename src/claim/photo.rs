//! Photographs, made small enough for mail. Keeps no camera data: where and with what a picture was taken is nobody's
//! business. The original stays in the shop's folder; its hash stands in the letter.

use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits, imageops::FilterType};
use std::io::Cursor;

/// The longest side of a photograph in a letter, in pixels.
pub const LONGEST: u32 = 1600;
/// The largest file of a photograph, in bytes.
pub const MOST_BYTES: u64 = 25 * 1_000_000;
/// The most pixels of a photograph. A few hundred kilobytes can hold any number of them; each takes 3 to 8 bytes of
/// memory to read.
pub const MOST_PIXELS: u64 = 60_000_000;
/// The most memory that reading may take.
const MOST_MEMORY: u64 = 256 * 1024 * 1024;
const QUALITY: u8 = 82;

/// Looks whether a file is a photograph by its name, its content and the pixels it says it has. The picture itself is not
/// read.
///
/// # Errors
/// It is none, or too large to read; in words.
pub fn look(name: &str, bytes: &[u8]) -> Result<(), String> {
    if !is_photo(name) {
        return Err("it is no photograph: expected a name in .jpg, .jpeg or .png".to_owned());
    }
    decoder(bytes).map(|_| ())
}

/// Opens a JPEG or PNG; refuses one with too many pixels before any of them is read.
fn decoder(bytes: &[u8]) -> Result<impl ImageDecoder, String> {
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(unreadable)?;
    match reader.format() {
        Some(ImageFormat::Jpeg | ImageFormat::Png) => {}
        Some(_) | None => {
            return Err("it is no photograph: its content is neither JPEG nor PNG".to_owned());
        }
    }
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_MEMORY);
    reader.limits(limits);
    let decoder = reader.into_decoder().map_err(unreadable)?;
    let (width, height) = decoder.dimensions();
    if u64::from(width) * u64::from(height) > MOST_PIXELS {
        return Err(format!(
            "it has {width} x {height} pixels, at most {} million are read; save it smaller",
            MOST_PIXELS / 1_000_000
        ));
    }
    Ok(decoder)
}

fn unreadable(error: impl std::fmt::Display) -> String {
    format!("it is not a picture that can be read: {error}")
}

/// Returns a JPEG of the photograph, turned upright, with at most `LONGEST` pixels on its longer side. The same bytes
/// in give the same bytes out.
///
/// # Errors
/// It is no JPEG or PNG, or too large to read; in words.
pub fn for_mail(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let mut decoder = decoder(bytes)?;
    let orientation = decoder.orientation().map_err(unreadable)?;
    let mut picture = DynamicImage::from_decoder(decoder).map_err(unreadable)?;
    // The fine filter works on numbers of four times the size; a large picture first goes through the coarse one.
    if picture.width().max(picture.height()) > 2 * LONGEST {
        picture = picture.thumbnail(2 * LONGEST, 2 * LONGEST);
    }
    if picture.width().max(picture.height()) > LONGEST {
        picture = picture.resize(LONGEST, LONGEST, FilterType::Triangle);
    }
    picture.apply_orientation(orientation);
    let mut out = Vec::new();
    let rgb = picture.to_rgb8();
    JpegEncoder::new_with_quality(&mut out, QUALITY)
        .encode_image(&rgb)
        .map_err(unreadable)?;
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
    use super::{LONGEST, for_mail, look};
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

    #[test]
    fn a_photograph_is_one_by_its_name_and_by_its_content() {
        let picture = png(4, 4);
        assert_eq!(look("a.PNG", &picture), Ok(()));
        // A camera's file that was given the other ending is the same picture.
        assert_eq!(look("a.jpg", &picture), Ok(()));
        for (name, bytes) in [
            ("shop.yaml", &picture[..]),
            ("a.jpg", b"name: Marrow Joinery"),
            ("a.png", b"SQLite format 3\0"),
            ("a.png", b"GIF89a\x01\0\x01\0\0\0\0;"),
            ("a.png", &picture[..20]),
        ] {
            assert!(look(name, bytes).is_err(), "{name}");
        }
    }

    /// A PNG of the size told in its header (PNG specification, 5.6 and 11.2.2), with the start of its data.
    fn header(width: u32, height: u32) -> Vec<u8> {
        let mut picture = png(1, 1);
        picture[16..20].copy_from_slice(&width.to_be_bytes());
        picture[20..24].copy_from_slice(&height.to_be_bytes());
        let crc = crc32(&picture[12..29]);
        picture[29..33].copy_from_slice(&crc.to_be_bytes());
        picture
    }

    fn crc32(bytes: &[u8]) -> u32 {
        !bytes.iter().fold(!0_u32, |crc, byte| {
            (0..8).fold(crc ^ u32::from(*byte), |crc, _| {
                (crc >> 1) ^ (0xedb8_8320 * (crc & 1))
            })
        })
    }

    #[test]
    fn a_picture_of_too_many_pixels_is_refused_by_its_header() {
        assert_eq!(header(1, 1), png(1, 1));
        for (width, height) in [(19_000, 19_000), (60_000_001, 1), (7_746, 7_746)] {
            let why = look("a.png", &header(width, height)).unwrap_err();
            assert!(
                why.contains("at most 60 million are read") && why.contains("save it smaller"),
                "{why}"
            );
            assert!(for_mail(&header(width, height)).is_err());
        }
        assert_eq!(look("a.png", &header(7_745, 7_745)), Ok(()));
    }
}
