using StageView.Live.Night;
using StageView.Live.Shown;
using StageView.Show.Sound;

namespace StageView.Live.Tests.Shown;

public sealed partial class LiveShowTests
{
    [Fact]
    public void LTC_from_a_sound_input_is_the_shows_timecode_in_the_page_and_the_windows_title()
    {
        Tools.Need("ffmpeg", "ffmpeg");

        // Ten hours in, three seconds, in real time; then it ends, which is told, and it is opened again.
        var sound = Path.Combine(_copy.Folder, "tape.wav");
        LtcSound.Write(sound, LtcSound.Of(900_000, 75));
        var journal = new NightJournal(TimeProvider.System);
        using var show = new LiveShow(
            new LiveShowOptions
            {
                RigFile = _copy.File, Recordings = _copy.Folder, Looks = _copy.Folder, E131Port = FreePort.Udp(), ArtNetPort = FreePort.Udp(),
                Ltc = SoundSource.Parse(sound, 1),
            },
            journal, TimeProvider.System);
        Until(() => show.State() is { Timecode: not null, TimecodeNote: "25 frames/s, runs, LTC", Ltc: { State: "heard", Short: "LTC -6 dB" } });
        Assert.Matches(@"^LTC -6 dB 10:00:0\d:\d\d$", show.Timecode);
        Until(() => show.State().Ltc is { State: "lost", Short: "LTC no input" });
        Until(() => journal.Newest(50).Count(e => e.Text == "LTC starts at 10:00:00:00") > 1);
        Assert.Contains(journal.Newest(50), e => e.Text == $"LTC from {sound}: no input: it ended; tried again");

        static void Until(Func<bool> so) => Assert.True(SpinWait.SpinUntil(so, TimeSpan.FromSeconds(60)));
    }
}
