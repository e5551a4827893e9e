"""Life of seals and bearings: question, estimate, pages."""
