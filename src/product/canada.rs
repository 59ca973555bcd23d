//! What the maker says for Canada alone. Part of `product`.

use crate::find::{Finding, Report};
use crate::trade::Lang;
use crate::unit::Share;
use crate::yaml::{Form, Node};
use serde::Serialize;

/// Keys of a product that only Canada asks about.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Canada {
    /// The container is an ornament and sold as one (C.R.C. c. 417, s. 2): its base may carry the label.
    pub ornamental: bool,
    /// Whether the candle lights again by itself after it is put out (SOR/2016-165, s. 1); `None` where nobody said.
    pub relights: Option<bool>,
    /// Made and sold in one place alone (C.R.C. c. 417, s. 6(1)).
    pub local: Option<Local>,
}

/// A product made and sold in one municipality and those that touch it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Local {
    /// Where.
    pub municipality: String,
    /// The language the label is to have: English or French.
    pub language: Lang,
    /// Share of the people there with English as mother tongue.
    pub english: Share,
    /// And with French.
    pub french: Share,
}

impl Local {
    /// Shares of the language of the label and of the other.
    #[must_use]
    pub fn used_and_other(&self) -> (Share, Share) {
        if self.language == Lang::En { (self.english, self.french) } else { (self.french, self.english) }
    }
}

const MOTHER_TONGUE: &str = "{en: 2 %, fr: 96 %}";

/// Reads the keys of a product; an incomplete one is told and counts as not written.
pub(super) fn read(form: &Form<'_>, report: &Report) -> Canada {
    Canada {
        ornamental: form.yes_no("ornamental container").unwrap_or(false),
        relights: form.yes_no("relights"),
        local: form.get("local product").and_then(|n| local(n, report)),
    }
}

/// `local product: {municipality: …, language: fr, mother tongue: {en: 2 %, fr: 96 %}}`.
fn local(node: &Node, report: &Report) -> Option<Local> {
    let form = Form::open(node, "a local product", &["municipality", "language", "mother tongue"], report)?;
    let municipality = form.need_text("municipality", "Anse-aux-Brumes");
    form.need("language", "fr")?;
    let language = form.word::<Lang>("language");
    let tongues = form.need("mother tongue", MOTHER_TONGUE);
    let tongues = Form::open(tongues?, "shares of mother tongues", &["en", "fr"], report)?;
    let (english, french) = (tongues.need_quantity::<Share>("en"), tongues.need_quantity::<Share>("fr"));
    let language = language?;
    if !matches!(language.value, Lang::En | Lang::Fr) {
        let message = format!("a local product stands in `en` or `fr`, not in `{}`", language.value);
        let cure = "write the language most people there speak: `en` or `fr`";
        report.add(Finding::input("file/wrong-word", message, cure).at(&language.place, "here"));
        return None;
    }
    let local = Local {
        municipality: municipality?.value,
        language: language.value,
        english: english?.value,
        french: french?.value,
    };
    if i128::from(local.english.to_ppb()) + i128::from(local.french.to_ppb()) > i128::from(Share::WHOLE.to_ppb()) {
        let message = format!("{} and {} are more than everybody", local.english, local.french);
        let cure = "copy both shares from the census of that municipality";
        report.add(Finding::input("file/out-of-range", message, cure).at(&tongues.place(), "here"));
        return None;
    }
    Some(local)
}
