//! Which text may not be larger than which, and names that keep to one line.

use crate::plan::{self, base, front};
use crate::{one, texts};
use waxbill::plan::{Content, Shape};
use waxbill::unit::Length;

/// Our own rule: what is only good to know is never larger than the warnings beside it.
#[test]
fn advice_is_never_larger_than_the_warnings_beside_it() {
    for largest in [2400, 2800, 3600, 5000] {
        let mut part = base();
        part.rows[0].cells[0].block.largest = Length::um(largest);
        part.rows[1].cells[0].block.largest = Length::mm(4);
        part.shape = Shape::Rectangle { width: Length::mm(110), height: Length::mm(90) };
        let page = one(part);
        let size = |held: &dyn Fn(&str) -> bool| {
            texts(&page).into_iter().filter(|t| held(&t.text)).map(|t| t.size).collect::<Vec<_>>()
        };
        let messages = size(&|t| plan::MESSAGES.contains(&t));
        let advice = size(&|t| plan::CARE.iter().any(|c| c.contains(t)) || t.contains("Trim") || t.contains("Burn no"));
        assert!(messages.len() == 4 && !advice.is_empty());
        assert!(advice.iter().max() <= messages.iter().min(), "{largest}: {advice:?} {messages:?}");
    }
}

/// A name of two words keeps to one line where it stays nearly as large; a longer one breaks (our own rule).
#[test]
fn a_name_breaks_only_where_one_line_would_make_it_small() {
    let lines = |name: &str| {
        let mut part = front();
        let Content::Text { text, .. } = &mut part.rows[0].cells[0].block.items[0].content else { panic!("a name") };
        *text = name.to_owned();
        let page = one(part);
        let largest = texts(&page).iter().map(|t| t.size).max();
        texts(&page).into_iter().filter(|t| Some(t.size) == largest).count()
    };
    assert_eq!((lines("Low Tide"), lines("Marée basse")), (1, 1));
    assert!(lines("Saltpan Lane in November") > 1);
}
