//! Pages to bytes; the only room that names printpdf. After `page`.
