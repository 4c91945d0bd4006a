//! Each curve of every example is a whole picture with its words, or says why there is none.

use super::vocabulary;
use wetside_report::figures::{CURVES, Survey, curve};

#[test]
fn every_curve_is_a_picture_with_its_words() {
    let mut drawn = 0;
    for source in crate::examples::examples() {
        let survey = Survey::new(source, vocabulary());
        for name in CURVES {
            let picture = match curve(&survey.told, name) {
                Ok(drawing) => drawing.svg,
                Err(why) => {
                    assert!(why.len() > 20, "{name}: {why}");
                    continue;
                }
            };
            drawn += 1;
            for part in ["<svg xmlns", "role=\"img\"", "<title>", "<desc>", "</svg>"] {
                assert!(picture.contains(part), "{name} lacks {part}");
            }
            for wrong in ["NaN", "inf", "href", "<script"] {
                assert!(
                    !picture.contains(wrong),
                    "{name} of {}: {wrong}",
                    survey.source.name
                );
            }
            assert_eq!(
                picture,
                curve(&survey.told, name).unwrap().svg,
                "the same every time"
            );
        }
    }
    assert!(drawn > 40, "{drawn} pictures");
    let nothing = Survey::new(
        wetside_base::source::Source::new("s.yaml", "survey: 1\n"),
        vocabulary(),
    );
    assert!(
        CURVES
            .iter()
            .all(|name| curve(&nothing.told, name).is_err())
    );
}
