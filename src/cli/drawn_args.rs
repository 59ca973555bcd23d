//! What can be typed about a label that somebody has drawn; part of `args`.

use clap::Args;
use std::path::PathBuf;

/// A label PDF of any make, or the words of one.
#[derive(Debug, Args)]
pub struct DrawnArgs {
    /// Read this label, whoever made it, and judge it against the product
    #[arg(long, value_name = "FILE.pdf", conflicts_with_all = ["stock", "text"])]
    pub label: Option<PathBuf>,
    /// Judge the words of a plain text instead: size, place and colour stay unread
    #[arg(long, value_name = "FILE", conflicts_with = "stock")]
    pub text: Option<PathBuf>,
    /// Which page prints which part: `front=1`, once for each (default: by the size of the parts of the product's template,
    /// those of one size in its order). Other pages are judged too
    #[arg(long, value_name = "PART=PAGE", value_parser = part, requires = "label", conflicts_with = "text")]
    pub part: Vec<(String, usize)>,
    /// The label is on these pages of the file, counted from 1: `3` or `3..4` (default: all)
    #[arg(long, value_name = "FROM..TO", value_parser = pages, requires = "label", conflicts_with = "text")]
    pub pages: Option<(usize, usize)>,
    /// The lot the label is for: its code is looked for in words and in the QR code
    #[arg(long, value_name = "CODE")]
    pub lot: Option<String>,
    /// Also write a picture of the label: what was found in blue, what is wrong in red, what is missing at the side
    #[arg(long, value_name = "OUT.png", requires = "label", conflicts_with = "text")]
    pub proof: Option<PathBuf>,
}

impl DrawnArgs {
    /// Whether a label is to be read at all.
    pub const fn is_asked(&self) -> bool {
        self.label.is_some() || self.text.is_some()
    }
}

fn part(text: &str) -> Result<(String, usize), String> {
    let wrong = || "write the part and its page, counted from 1: front=1".to_owned();
    let (name, page) = text.split_once('=').ok_or_else(wrong)?;
    let page = page.trim().parse::<usize>().ok().filter(|p| *p > 0).ok_or_else(wrong)?;
    let name = name.trim();
    if name.is_empty() || name.chars().count() > 40 { Err(wrong()) } else { Ok((name.to_owned(), page)) }
}

fn pages(text: &str) -> Result<(usize, usize), String> {
    let (from, to) = text.split_once("..").unwrap_or((text, text));
    let page = |word: &str| word.trim().parse::<usize>().ok().filter(|p| *p > 0);
    let pages = page(from).zip(page(to)).filter(|(from, to)| from <= to);
    pages.ok_or_else(|| "write the page, or the first and the last, counted from 1: 3..4".to_owned())
}

#[cfg(test)]
mod tests {
    use super::pages;

    #[test]
    fn one_page_or_a_range_that_goes_forwards() {
        assert_eq!(pages("3"), Ok((3, 3)));
        assert_eq!(pages("3..4"), Ok((3, 4)));
        for odd in ["", "0", "4..3", "0..2", "1..", "..2", "1-2", "one", "1..2..3", "-1", "99999999999999999999999"] {
            assert!(pages(odd).is_err(), "{odd}");
        }
    }
}
