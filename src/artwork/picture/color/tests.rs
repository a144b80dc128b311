//! Colors of one pixel and of many, through profiles and without.

use super::*;

fn rgba(samples: Samples, color: Color, alpha: Option<Alpha>, profile: Option<Vec<u8>>) -> (Vec<u8>, Vec<Loss>) {
    let mut decoded = Decoded::new((1, 1), samples, color, alpha.is_some());
    decoded.alpha = alpha;
    decoded.profile = profile;
    to_srgb(decoded, true)
}

#[test]
fn plain_colors_stay_what_they_are() {
    let srgb = ColorProfile::new_srgb().encode().expect("a profile");
    for profile in [None, Some(srgb)] {
        let (bytes, losses) = rgba(Samples::Eight(vec![1, 128, 254]), Color::Rgb, None, profile.clone());
        assert_eq!((bytes, losses.len()), (vec![1, 128, 254, 255], 0));
        let wide = vec![257, 128 * 257 + 100, 65_535];
        assert_eq!(rgba(Samples::Sixteen(wide), Color::Rgb, None, profile.clone()).0, [1, 128, 255, 255]);
        assert_eq!(rgba(Samples::Eight(vec![77]), Color::Grey, None, profile).0, [77, 77, 77, 255]);
    }
}

#[test]
fn multiplied_colors_are_divided() {
    let alpha = Some(Alpha { channel: 3, multiplied: true });
    assert_eq!(rgba(Samples::Eight(vec![50, 100, 0, 100]), Color::Rgb, alpha, None).0, [128, 255, 0, 100]);
    assert_eq!(rgba(Samples::Eight(vec![9, 9, 9, 0]), Color::Rgb, alpha, None).0, [0, 0, 0, 0]);
}

#[test]
fn a_profile_that_is_missing_or_of_no_use_is_named() {
    let codes = |losses: Vec<Loss>| losses.iter().map(Loss::code).collect::<Vec<_>>();
    let (bytes, losses) = rgba(Samples::Eight(vec![255, 0, 0, 51]), Color::Cmyk, None, None);
    assert_eq!((bytes, codes(losses)), (vec![0, 204, 204, 255], vec!["no-profile"]));
    let broken = rgba(Samples::Eight(vec![1, 2, 3]), Color::Rgb, None, Some(b"acsp".to_vec()));
    assert_eq!((broken.0, codes(broken.1)), (vec![1, 2, 3, 255], vec!["bad-profile"]));
    let rgb = ColorProfile::new_srgb().encode().expect("a profile");
    let other = rgba(Samples::Eight(vec![0, 0, 0, 0]), Color::Cmyk, None, Some(rgb));
    assert_eq!(other.1[0].to_string(), "bad-profile: a profile for Rgb in a picture of Cmyk");
}

#[test]
fn colors_go_through_their_profile() {
    let wide = ColorProfile::new_display_p3().encode().expect("a profile");
    let (bytes, losses) = rgba(Samples::Eight(vec![128, 100, 80]), Color::Rgb, None, Some(wide.clone()));
    assert!(losses.is_empty() && bytes[0] > 128 && bytes[2] < 80, "{bytes:?}");
    let fine = rgba(Samples::Sixteen(vec![128 * 257, 100 * 257, 80 * 257]), Color::Rgb, None, Some(wide)).0;
    assert!(fine.iter().zip(&bytes).all(|(a, b)| a.abs_diff(*b) <= 1), "{fine:?} {bytes:?}");
}

#[test]
fn pixels_that_become_smaller_stay_in_their_order() {
    let count = 300 + u32::try_from(STRETCH).expect("a small number");
    let inks: Vec<[u8; 4]> =
        (0..count).map(|n| [n.to_le_bytes()[0], n.to_le_bytes()[1], n.to_le_bytes()[2], 0]).collect();
    let left: Vec<u8> = inks.iter().flat_map(|ink| [255 - ink[0], 255 - ink[1], 255 - ink[2]]).collect();
    let decoded = Decoded::new((count, 1), Samples::Eight(inks.concat()), Color::Cmyk, false);
    assert!(to_srgb(decoded, false).0 == left, "another pixel");
}
