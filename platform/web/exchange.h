// What comes by camera goes the way of what comes as a file.
#pragma once

#include "engine/bundle/digest.h"

namespace beckhand {

/// What the camera read in one code. How far it is, as JSON; once the bundle is whole, what taking it in would change.
const char* scanned(bundle::ByteView frame);

} // namespace beckhand
