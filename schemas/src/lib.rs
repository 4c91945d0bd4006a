pub use jsonschema;
