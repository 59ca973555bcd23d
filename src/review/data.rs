//! The word lists a label is read with, from `rules/label`. Part of `review`.

use crate::trade::{Evidence, Lang, Market};

const COUNTRIES: &str = include_str!("../../rules/label/countries.csv");
const CLAIMS: &str = include_str!("../../rules/label/claims.csv");
const CONTEXT: &str = include_str!("../../rules/label/context.csv");
const FIGURES: &str = include_str!("../../rules/label/figures.csv");
const NAMES: &str = include_str!("../../rules/label/names.csv");
const PIECES: &str = include_str!("../../rules/label/pieces.csv");

fn rows(text: &'static str) -> impl Iterator<Item = &'static str> {
    text.lines().filter(|l| !l.trim().is_empty() && !l.starts_with('#')).skip(1)
}

/// Where words that turn a statement into something else stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beside {
    /// Before it, in its sentence.
    Before,
    /// Behind it, in its sentence.
    After,
    /// Right before or behind a quantity.
    Quantity,
    /// Near hours that are no burn time.
    Hours,
}

/// Words that turn what they stand beside into something else.
pub fn beside(place: Beside) -> impl Iterator<Item = &'static str> {
    let word = match place {
        Beside::Before => "before",
        Beside::After => "after",
        Beside::Quantity => "quantity",
        Beside::Hours => "hours",
    };
    placed(CONTEXT, word)
}

/// Where words stand by which a label says how many pieces there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfPieces {
    /// Behind the number.
    Piece,
    /// Before a number with its piece.
    Before,
    /// Before a number that needs no word for the piece.
    Pack,
}

/// Words by which a label says how many pieces there are.
pub fn of_pieces(place: OfPieces) -> impl Iterator<Item = &'static str> {
    let word = match place {
        OfPieces::Piece => "piece",
        OfPieces::Before => "before",
        OfPieces::Pack => "pack",
    };
    placed(PIECES, word)
}

/// Numbers of pieces in words.
pub fn numbers() -> impl Iterator<Item = (u32, &'static str)> {
    rows(PIECES).filter_map(|line| {
        let (number, word) = line.split_once(',')?.1.split_once(',')?;
        Some((number.parse().ok()?, word))
    })
}

/// Words for a piece in a language.
pub fn pieces(lang: Lang) -> impl Iterator<Item = &'static str> {
    rows(PIECES).filter_map(move |line| {
        let (of, rest) = line.split_once(',')?;
        let word = rest.strip_prefix("piece,")?;
        (Lang::from_word(of) == Some(lang)).then_some(word)
    })
}

/// The words of a list of language, place and words, for one place.
fn placed(list: &'static str, place: &'static str) -> impl Iterator<Item = &'static str> {
    rows(list)
        .filter_map(move |line| line.split_once(',')?.1.split_once(',').filter(|(p, _)| *p == place).map(|(_, w)| w))
}

/// Letters of a country and a name it may have in an address.
pub fn countries() -> impl Iterator<Item = (&'static str, &'static str)> {
    rows(COUNTRIES).filter_map(|l| l.split_once(','))
}

/// What kind of words a row of the list of claims holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// A promise.
    Claim,
    /// What makes a pesticide or biocide of the goods.
    Insect,
    /// The name of an insect: one only where something is promised about it.
    InsectWord,
    /// May not stand at a net quantity.
    Qualifier,
    /// A qualifier that means something else unless it stands right beside the quantity.
    Beside,
}

/// Words that need evidence, or have no place.
#[derive(Debug, Clone, Copy)]
pub struct Claim {
    /// Which list.
    pub sort: Sort,
    /// As they may stand on a label.
    pub words: &'static str,
    /// What would have to be shown.
    pub evidence: &'static str,
    /// Where this is from.
    pub source: &'static str,
    /// How it is known.
    pub seen: Evidence,
}

/// The rows for a market.
pub fn claims(market: Market) -> impl Iterator<Item = Claim> {
    rows(CLAIMS).filter_map(move |line| {
        let cells: Vec<&str> = line.split(',').collect();
        let [sort, place, words, evidence, source, seen] = cells[..] else { return None };
        let sort = match sort {
            "claim" => Sort::Claim,
            "insect" => Sort::Insect,
            "insect-word" => Sort::InsectWord,
            "beside" => Sort::Beside,
            "qualifier" => Sort::Qualifier,
            _ => return None,
        };
        let here = place == "all" || Market::from_word(place) == Some(market);
        here.then_some(Claim { sort, words, evidence, source, seen: Evidence::from_word(seen)? })
    })
}

/// One of the product's figures that labels state.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Figure {
    /// Length to trim the wick to.
    Trim,
    /// Wax left at which to stop.
    Stop,
    /// Between burning candles.
    Distance,
    /// Longest time to burn at once.
    Session,
    /// Before lighting again.
    Cool,
    /// Time of the first burn.
    FirstBurn,
    /// How long it burns in all.
    BurnTime,
}

impl Figure {
    /// As messages name it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Trim => "trim height of the wick",
            Self::Stop => "wax left at the stop",
            Self::Distance => "distance between candles",
            Self::Session => "longest time to burn at once",
            Self::Cool => "time to cool",
            Self::FirstBurn => "time of the first burn",
            Self::BurnTime => "burn time",
        }
    }

    /// Whether it is a time.
    pub const fn is_time(self) -> bool {
        matches!(self, Self::Session | Self::Cool | Self::FirstBurn | Self::BurnTime)
    }
}

/// Words that tell which figure is meant, those that count first in front.
pub fn figure_words() -> impl Iterator<Item = (Lang, &'static str, Figure)> {
    rows(FIGURES).filter_map(|line| {
        let mut cells = line.split(',');
        let (lang, words, figure) = (cells.next()?, cells.next()?, cells.next()?);
        let figure = match figure {
            "trim" => Figure::Trim,
            "stop" => Figure::Stop,
            "distance" => Figure::Distance,
            "session" => Figure::Session,
            "cool" => Figure::Cool,
            "first burn" => Figure::FirstBurn,
            "burn time" => Figure::BurnTime,
            _ => return None,
        };
        Some((Lang::from_word(lang)?, words, figure))
    })
}

/// Substances by CAS number with the names they go by.
pub fn names() -> impl Iterator<Item = (&'static str, Vec<&'static str>)> {
    rows(NAMES).filter_map(|l| {
        let (cas, names) = l.split_once(',')?;
        Some((cas, names.split(';').map(str::trim).collect()))
    })
}

#[cfg(test)]
mod tests {
    use super::{
        Beside, CLAIMS, CONTEXT, FIGURES, NAMES, OfPieces, PIECES, beside, claims, figure_words, names, numbers,
        of_pieces, rows,
    };
    use crate::hazard::cas_holds;
    use crate::trade::Market;

    #[test]
    fn every_row_is_read() {
        let read = |line: &&str| {
            let words = line.split(',').nth(2).unwrap_or("");
            Market::ALL.iter().any(|m| claims(*m).any(|c| c.words == words))
        };
        assert_eq!(rows(CLAIMS).filter(read).count(), rows(CLAIMS).count());
        let places = [Beside::Before, Beside::After, Beside::Quantity, Beside::Hours];
        assert_eq!(places.into_iter().flat_map(beside).count(), rows(CONTEXT).count());
        let places = [OfPieces::Piece, OfPieces::Before, OfPieces::Pack];
        assert_eq!(places.into_iter().flat_map(of_pieces).count() + numbers().count(), rows(PIECES).count());
        assert_eq!(figure_words().count(), rows(FIGURES).count());
        assert_eq!(names().count(), rows(NAMES).count());
    }

    /// The check digit of a CAS number is part of the number (Chemical Abstracts Service, "Check digit verification").
    #[test]
    fn every_cas_number_holds_together() {
        for (cas, names) in names() {
            assert!(cas_holds(cas), "{cas} {names:?}");
        }
    }
}
