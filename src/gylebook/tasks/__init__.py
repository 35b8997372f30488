"""Do what a brewer does, one function a deed; the only room that sees both the gyle and the record."""
