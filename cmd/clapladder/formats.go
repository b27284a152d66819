package main

import _ "clapladder.example/assess/audio/formats" // the command reads whatever can be decoded here
