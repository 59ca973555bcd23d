//! Words beside statements and figures, and texts made to take long. Whether a word turns a sentence round is plain English and
//! French; the bounds of time are ours.

#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use super::rows::of_text;
use super::search::{find, has, letters};
use super::{figure, quantity};

#[test]
fn words_run_together_are_no_sentence() {
    let text = "Keep away from children and pets.";
    assert!(!has(&of_text("Keepawayfromchildrenandpets."), text));
    assert!(has(&of_text("Keep away fromchildren and pets."), text));
}

#[test]
fn text_of_points_ends_the_search_and_not_the_stack() {
    let text = format!("Burn candle within\n{}sight", "*\n".repeat(90_000));
    assert!(find(&of_text(&text), &letters("Burn candle within sight.")).is_empty());
}

#[test]
fn text_of_figures_is_read_row_by_row() {
    let rows = of_text(&"4 h\n".repeat(30_000));
    let all = quantity::all(&rows);
    assert_eq!(all.len(), 30_000);
    assert!(quantity::pairs(&rows, &all).is_empty());
    assert_eq!(all.iter().filter(|q| figure::meant(&rows, q).is_some()).count(), 0);
}
