//! Laws of the whole: nothing passes in silence, learning more contradicts nothing, order cannot be
//! seen, and no text is too odd.

mod doubt;
mod draws;
mod figures;
mod headings;
mod hostile;
mod order;
mod packs;
mod refinement;
mod shape;
mod silence;
