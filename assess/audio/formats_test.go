package audio_test

import _ "clapladder.example/assess/audio/formats"
