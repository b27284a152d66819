//go:build !js

package formats

import _ "clapladder.example/assess/audio/ffmpeg" // a browser runs no programs
