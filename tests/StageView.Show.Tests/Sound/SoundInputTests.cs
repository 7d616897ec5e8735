using StageView.Show.Programs;
using StageView.Show.Sound;

namespace StageView.Show.Tests.Sound;

/// <summary>Sound that comes in through a program: ffmpeg on a file in real time, and scripts that misbehave.</summary>
public sealed class SoundInputTests
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    [Theory]
    [InlineData(false)] // a file, in real time
    [InlineData(true)] // an input by its name
    public void A_channel_comes_in_whole_and_again_when_it_has_ended(bool named)
    {
        Tools.Need("ffmpeg", "ffmpeg");
        using var folder = new TempFolder();
        const string Tone = "aevalsrc=0.125|0.5:d=0.3:s=48000";
        var path = folder["tone.wav"];
        Tools.Run("ffmpeg", "-v", "error", "-f", "lavfi", "-i", Tone, path);
        var ear = new Ear();
        using (var input = new SoundInput(SoundSource.Parse(named ? "lavfi:" + Tone : path, 2), ear))
        {
            Assert.True(SpinWait.SpinUntil(() => ear.Begins > 1, Patience), ear.Why);
            Assert.True(input.Starts > 1);
        }

        Assert.Equal(14_400, ear.First);
        Assert.Equal(.5f, ear.Lowest, .001f);
        Assert.Equal("it ended", ear.Why);
    }

    [Fact]
    public void A_program_that_ends_says_why_and_is_started_again_after_growing_pauses()
    {
        using var folder = new TempFolder();
        var ear = new Ear();
        var marks = folder["marks"];

        // It fails, then brings three samples (one in two halves), and fails again.
        var script = $"echo >> '{marks}'; if [ $(wc -l < '{marks}') = 2 ]; then printf '\\000\\100\\000'; printf '\\100\\000\\100'; fi; echo 'hw:9 is busy' >&2; exit 1";
        using (new SoundInput(Script(script), ear))
        {
            Assert.True(SpinWait.SpinUntil(() => ear.Ends > 2, Patience));
        }

        Assert.Equal(("hw:9 is busy", 3, .5f, 1), (ear.Why, ear.First, ear.Lowest, ear.Begins));
    }

    [Fact]
    public void Its_program_and_what_that_started_end_with_it()
    {
        using var folder = new TempFolder();
        var ear = new Ear();
        using (new SoundInput(Script($"sleep 600 & echo $! > '{folder["pid.new"]}'; mv '{folder["pid.new"]}' '{folder["pid"]}'; wait"), ear))
        {
            Assert.True(SpinWait.SpinUntil(() => File.Exists(folder["pid"]), Patience));
        }

        var process = "/proc/" + File.ReadAllText(folder["pid"]).Trim();
        Assert.True(SpinWait.SpinUntil(() => !File.Exists(process + "/cmdline") || File.ReadAllText(process + "/cmdline").Length == 0, Patience));
        Assert.Equal(0, ear.Ends);
    }

    [Fact]
    public void Without_its_program_it_says_what_to_install()
    {
        var source = SoundSource.Parse("arecord:hw:1", 3);
        var ear = new Ear();
        using (new SoundInput(source with { Program = source.Program with { Name = "no-such-program" } }, ear))
        {
            Assert.True(SpinWait.SpinUntil(() => ear.Ends > 0, Patience));
        }

        Assert.Contains("apt-get install alsa-utils", ear.Why, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("alsa:hw:1,0", 1, "ffmpeg", "-f alsa -i hw:1,0 -vn -sn -dn -af pan=mono|c0=c0 -ar 48000")]
    [InlineData("alsa:hw:1", 4, "ffmpeg", "-channels 4 -f alsa -i hw:1 -vn -sn -dn -af pan=mono|c0=c3")]
    [InlineData("pulse:default", 2, "ffmpeg", "-f pulse -i default -vn -sn -dn -af pan=mono|c0=c1")]
    [InlineData("rtp://239.1.1.1:5004", 1, "ffmpeg", "-protocol_whitelist udp,rtp,rtsp,rtsps,srt,tcp,tls,http,https,crypto -i rtp://239.1.1.1:5004")]
    [InlineData("arecord:plughw:1", 2, "arecord", "-q -D plughw:1 -t raw -f S16_LE -r 48000 -c 2")]
    public void An_input_is_chosen_by_name_and_channel(string name, int channel, string program, string arguments)
    {
        var source = SoundSource.Parse(name, channel);
        Assert.Equal((name, program), (source.Name, source.Program.Name));
        Assert.Contains(arguments, string.Join(' ', source.Program.Arguments), StringComparison.Ordinal);
        Assert.Equal(program == "arecord" ? (channel, channel - 1) : (1, 0), (source.Channels, source.Channel));
    }

    [Theory]
    [InlineData("no-such.wav", 1, "--ltc no-such.wav: no such sound file; write alsa:DEVICE, ")]
    [InlineData("alsa:", 1, "--ltc alsa:: no device behind the colon, such as alsa:default")]
    [InlineData("alsa:hw:1", 65, "--ltc-channel 65 is out of range: channels from 1 to 64")]
    public void A_name_that_is_none_is_refused_in_one_line(string name, int channel, string words) =>
        Assert.StartsWith(words, Assert.Throws<StopException>(() => SoundSource.Parse(name, channel)).Message, StringComparison.Ordinal);

    // As ffmpeg 5.1 writes "Auto-detected sources"; the first list is from a machine of ours, names of the second are invented.
    [Theory]
    [InlineData("alsa", "Auto-detected sources for alsa:\n  null [Discard all samples (playback) or generate zero samples (capture)] (none)\n")]
    [InlineData("pulse", "Auto-detected sources for pulse:\n  card.monitor [Monitor of card] (none)\n* usb-in [USB in] (none)\n",
        "pulse:card.monitor   [Monitor of card] (none)", "pulse:usb-in   [USB in] (none)")]
    public void Inputs_are_listed_as_they_can_be_written(string system, string list, params string[] lines) =>
        Assert.Equal(lines, SoundList.Read(list, system));

    private static SoundSource Script(string script) => new()
    {
        Name = "script", Program = new ReadProgram { Name = "sh", Arguments = ["-c", script], Missing = "no sh" },
    };

    /// <summary>Counts what it hears.</summary>
    private sealed class Ear : ISoundEar
    {
        public volatile int Begins;
        public volatile int Ends;
        public volatile int First;
        public volatile string Why = "";
        private float _lowest = 1;

        public float Lowest => Volatile.Read(ref _lowest);

        public void Begun() => Begins++;

        public void Hear(ReadOnlySpan<float> samples)
        {
            if (Begins == 1)
            {
                First += samples.Length;
                foreach (var s in samples)
                {
                    Volatile.Write(ref _lowest, Math.Min(_lowest, s));
                }
            }
        }

        public void Ended(string why)
        {
            Why = why;
            Ends++;
        }
    }
}
