//! The maker's logo: which file, how high, and the drawing in it. Part of `product`.

use super::Shelves;
use crate::find::{Finding, Report};
use crate::logo::{self, Logo};
use crate::unit::Length;
use crate::yaml::{At, Form, Node, Value};
use serde::Serialize;
use std::sync::Arc;

/// A logo as it goes onto labels: always in its own proportions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Printed {
    /// Its drawing.
    pub logo: Arc<Logo>,
    /// How high it is printed.
    pub height: Length,
}

/// What a file says of a logo.
#[derive(Debug, Clone, Serialize)]
pub enum Wanted {
    /// No logo, whatever the workshop says.
    None,
    /// This one.
    File {
        /// Beside `workshop.yaml`.
        #[serde(skip)]
        file: At<String>,
        /// How high it is printed.
        height: Length,
    },
}

/// Lower than that it is a speck, higher it is the label.
const HEIGHTS: (Length, Length) = (Length::mm(3), Length::mm(150));

/// Reads `logo: {file: logo.svg, height: 10 mm}` or `logo: none`.
pub(super) fn read(node: &Node, report: &Report) -> Option<Wanted> {
    if let Value::Text(text) = &node.value
        && text.trim() == "none"
    {
        return Some(Wanted::None);
    }
    let form = Form::open(node, "a logo", &["file", "height"], report)?;
    let (file, height) = (form.need_text("file", "logo.svg"), form.need("height", "10 mm"));
    let height = height.and_then(|n| n.quantity::<Length>(report))?;
    if height.value < HEIGHTS.0 || height.value > HEIGHTS.1 {
        let message = format!("a logo of {} height is not printed", height.value);
        let cure = format!("write a height from {} to {}", HEIGHTS.0, HEIGHTS.1);
        report.add(Finding::input("file/out-of-range", message, cure).at(&height.place, "here"));
        return None;
    }
    let file = file?;
    let name = file.value.as_str();
    let plain = name.len() < 100 && !name.starts_with('.') && !name.contains(['/', '\\', ':']);
    if !plain {
        let cure = "put the file beside `workshop.yaml` and write its name: `logo.svg`";
        let finding = Finding::input("file/logo", format!("`{name}` is no name of a file in the workshop"), cure);
        report.add(finding.at(&file.place, "here"));
        return None;
    }
    Some(Wanted::File { file, height: height.value })
}

/// Fetches what is wanted; a fault is told at the place where the file is named.
pub(super) fn fetch(wanted: Option<&Wanted>, shelves: &dyn Shelves, report: &Report) -> Option<Printed> {
    let Wanted::File { file, height } = wanted? else { return None };
    let missing = || {
        let message = format!("there is no logo `{}` beside `workshop.yaml`", file.value);
        Finding::input("file/logo", message, "put the file there, or correct its name")
    };
    let bytes = shelves.picture(&file.value).unwrap_or_else(|| Err(missing()));
    match bytes.and_then(|bytes| logo::read(&file.value, &bytes)) {
        Ok(logo) => Some(Printed { logo: Arc::new(logo), height: *height }),
        Err(finding) => {
            report.add(finding.at(&file.place, "named here"));
            None
        }
    }
}
