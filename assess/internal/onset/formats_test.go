package onset

import _ "clapladder.example/assess/audio/formats"
