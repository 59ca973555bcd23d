//! Pieces of paper: several faces printed side by side, holes. Part of `plan`.

use super::{Part, Plan, Shape};
use crate::unit::Length;
use serde::Serialize;

/// A round hole, for a string or a hook.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Hole {
    /// Across.
    pub diameter: Length,
    /// Its middle, from the left edge.
    pub from_left: Length,
    /// Its middle, from the upper edge.
    pub from_top: Length,
    /// Nothing is printed nearer to its rim than this.
    pub clear: Length,
}

/// The piece of paper on which a face stands beside others.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OnPiece {
    /// Name of the piece: `wrap`, `sleeve`.
    pub name: String,
    /// Outline of the whole piece, flap or overlap included.
    pub shape: Shape,
    /// Left edge of this face, from the left edge of the piece.
    pub left: Length,
    /// Whether the paper is folded where faces meet; else they only stand side by side.
    pub folded: bool,
}

/// A page of the PDF: a part by itself, or the faces of one piece.
#[derive(Debug, Clone)]
pub struct Printed<'p> {
    /// Name of the part or piece.
    pub name: &'p str,
    /// Its outline, which is that of the page.
    pub shape: Shape,
    /// Its faces from left to right; one where it is a part by itself.
    pub faces: Vec<&'p Part>,
}

impl Plan {
    /// The pages of the PDF, in order.
    #[must_use]
    pub fn printed(&self) -> Vec<Printed<'_>> {
        let mut pages: Vec<Printed<'_>> = Vec::new();
        for part in &self.parts {
            let Some(piece) = &part.piece else {
                pages.push(Printed { name: &part.name, shape: part.shape, faces: vec![part] });
                continue;
            };
            match pages.last_mut() {
                Some(page) if page.on().is_some_and(|on| on.name == piece.name) => page.faces.push(part),
                _ => pages.push(Printed { name: &piece.name, shape: piece.shape, faces: vec![part] }),
            }
        }
        pages
    }

    /// The pages of the PDF, each as one part: faces of one piece are taken together, their rows from left to right.
    #[must_use]
    pub fn pages(&self) -> Vec<Part> {
        let whole = |page: Printed<'_>| {
            let mut faces = page.faces.into_iter().cloned();
            let mut part = faces.next()?;
            for face in faces {
                part.principal |= face.principal;
                part.margin = part.margin.min(face.margin);
                part.rows.extend(face.rows);
            }
            if let Some(piece) = part.piece.take() {
                (part.name, part.shape) = (piece.name, piece.shape);
            }
            Some(part)
        };
        self.printed().into_iter().filter_map(whole).collect()
    }
}

impl Printed<'_> {
    fn on(&self) -> Option<&OnPiece> {
        self.faces.first().and_then(|p| p.piece.as_ref())
    }
    /// The holes through it, from its left and upper edge.
    #[must_use]
    pub fn holes(&self) -> Vec<Hole> {
        let left = |p: &Part| p.piece.as_ref().map_or(Length::ZERO, |on| on.left);
        let holes = self.faces.iter().filter_map(|p| Some((p.hole?, left(p))));
        holes.map(|(hole, left)| Hole { from_left: hole.from_left + left, ..hole }).collect()
    }
    /// Where the paper is folded, from the left edge of the piece.
    #[must_use]
    pub fn folds(&self) -> Vec<Length> {
        let folded = self.on().is_some_and(|on| on.folded);
        if !folded {
            return Vec::new();
        }
        let right = |p: &&Part| p.piece.as_ref().map(|on| on.left + p.shape.width());
        self.faces.iter().filter_map(right).filter(|at| *at < self.shape.width()).collect()
    }
}
