"""Audio: from a microphone or a sound file to remarks with their words.

sound file -> blocks (`decode`) -> stretches of speech (`voice`) -> levelled (`level`) -> words (`ear`), all of it in
`hear`; `keep` writes a remark's sound, `weights` finds the speech model, `place` puts it there.
Nothing heavy is loaded by importing this package.
"""
