"""Do to water and extract what each step of brewing does: equations alone, arrays in and arrays out."""
