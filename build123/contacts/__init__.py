"""Which measured faces and cylinders answer to what the joints expect: asked by the checks and by the odds of the dry fit."""
