using System.Diagnostics;
using StageView.Live.Night;
using StageView.Live.Pictures;
using StageView.Live.Shown;
using StageView.Live.Terms;

namespace StageView.App.Tests.Live;

/// <summary>The drawing process when its driver or its machine fails it.</summary>
[Collection(LiveMachine.Name)]
public sealed class PicturesProcessTests
{
    private static readonly Viewpoint Small = Viewpoint.Start with { Width = 160, Height = 90 };

    [Fact]
    public void A_renderer_that_throws_ends_its_process_with_its_own_words()
    {
        using var show = Show(out var copy);
        using (copy)
        {
            using var pictures = PicturesProcess.Start(show, window: false, (_, _) => { });
            var sheet = new Picture();
            Assert.Equal(DrawOutcome.Drawn, pictures.Draw(Small, 0, 0, sheet));

            // No texture of that size is to be had: the driver's refusal as any other fault of it.
            var why = Assert.Throws<InvalidOperationException>(() => pictures.Draw(Small with { Width = 20_000 }, 0, 0, sheet));
            Assert.Contains("20000", why.Message, StringComparison.Ordinal);
            Assert.Throws<InvalidOperationException>(pictures.Check);

            // The state that was not drawn does not count as seen.
            using var again = PicturesProcess.Start(show, window: false, (_, _) => { });
            Assert.Equal(DrawOutcome.Drawn, again.Draw(Small, 0, 0, sheet));
            Assert.Equal(DrawOutcome.Unchanged, again.Draw(Small, sheet.Fingerprint, 0, sheet));
        }
    }

    [Fact]
    public void Light_between_matt_surfaces_is_drawn_and_told_where_asked()
    {
        using var show = Show(out var copy);
        using (copy)
        {
            using var plain = PicturesProcess.Start(show, window: false, (_, _) => { });
            using var indirect = PicturesProcess.Start(show, window: false, (_, _) => { }, indirect: true);
            var (without, with) = (new Picture(), new Picture());
            Assert.Equal(DrawOutcome.Drawn, plain.Draw(Small with { Ev100 = 2 }, 0, 0, without));
            Assert.Equal(DrawOutcome.Drawn, indirect.Draw(Small with { Ev100 = 2 }, 0, 0, with));
            Assert.Contains("with light that floors, walls and people throw", indirect.Renderer, StringComparison.Ordinal);
            Assert.DoesNotContain("throw", plain.Renderer, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_driver_that_hangs_is_given_up_and_listening_goes_on_meanwhile()
    {
        using var show = Show(out var copy);
        using (copy)
        {
            using var pictures = PicturesProcess.Start(show, window: false, (_, _) => { }, Patience(20));
            var sheet = new Picture();
            pictures.Draw(Small, 0, 0, sheet);
            using var impatient = PicturesProcess.Start(show, window: false, (_, _) => { }, Patience(2));
            using (var stop = Process.Start("kill", $"-STOP {impatient.ProcessId}"))
            {
                stop.WaitForExit();
            }

            var why = Assert.Throws<InvalidOperationException>(() => impatient.Draw(Small, 0, 0, new Picture()));
            Assert.Equal("the drawing process gave no sign of life for 2 s", why.Message);
            Assert.True(show.Record(true).Ok);
            Assert.True(show.Record(false).Ok);
            Assert.Equal(DrawOutcome.Drawn, pictures.Draw(Small with { Ev100 = 6 }, 0, 0, sheet));
        }
    }

    [Fact]
    public void A_window_that_takes_no_more_moments_is_given_up_though_no_page_asks_for_pictures()
    {
        // Its haze drifts, so there is always a newer moment.
        using var show = Show(out var copy, "foundry");
        using (copy)
        {
            // Says hello as a drawing process with a window does (word 65, 6 bytes), and then nothing more.
            var silent = new ProcessStartInfo("sh", ["-c", @"printf '\101\0\0\0\006\0\0\0\003none\n'; exec sleep 600"]);
            using var pictures = PicturesProcess.Start(show, window: true, (_, _) => { }, Patience(2), drawing: silent);
            Assert.True(pictures.HasWindow);
            var why = "";
            var given = SpinWait.SpinUntil(() => (why = Record.Exception(pictures.Check)?.Message ?? "").Length > 0, TimeSpan.FromMinutes(1));
            if (!given)
            {
                // Nothing else would free the thread that writes to it.
                Process.GetProcessById(pictures.ProcessId).Kill();
            }

            Assert.True(given);
            Assert.Equal("the drawing process gave no sign of life for 2 s", why);
        }
    }

    [Fact]
    public async Task The_windows_title_says_the_worst_of_the_network_and_what_stands_in_for_it()
    {
        using var show = Show(out var copy);
        using (copy)
        {
            // Says hello as a drawing process with a window does, and writes down what it is told.
            var told = Path.Combine(copy.Folder, "told");
            var listens = new ProcessStartInfo("sh", ["-c", $"printf '\\101\\0\\0\\0\\006\\0\\0\\0\\003none\\n'; cat > '{told}'"]);
            using var pictures = PicturesProcess.Start(show, window: true, (_, _) => { }, Patience(60), drawing: listens);
            await Says("○ network silent · ");
            await File.WriteAllTextAsync(Path.Combine(copy.Folder, "full.look.jsonc"), """{ "set": [{ "fixtures": "spot", "dimmer": 1 }] }""",
                TestContext.Current.CancellationToken);
            Assert.True(show.TryLook("full").Ok);
            await Says("look full · ");

            async Task Says(string text)
            {
                // Another process has it open for writing.
                for (var from = TimeProvider.System.GetTimestamp(); ; await Task.Delay(50, TestContext.Current.CancellationToken))
                {
                    using var read = new StreamReader(new FileStream(told, FileMode.OpenOrCreate, FileAccess.Read, FileShare.ReadWrite));
                    var all = await read.ReadToEndAsync(TestContext.Current.CancellationToken);
                    if (all.Contains(text, StringComparison.Ordinal))
                    {
                        return;
                    }

                    Assert.True(TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromMinutes(1), $"the title never said {text}");
                }
            }
        }
    }

    private static DrawingPatience Patience(double seconds) => new(TimeProvider.System, TimeSpan.FromSeconds(seconds));

    private static LiveShow Show(out RigCopy copy, string rig = "one-mirror")
    {
        copy = new RigCopy(rig);
        return new LiveShow(
            new LiveShowOptions
            {
                RigFile = copy.File,
                Recordings = Path.Combine(copy.Folder, "recordings"),
                Looks = copy.Folder,
                E131Port = FreePort.Udp(),
                ArtNetPort = FreePort.Udp(),
            },
            new NightJournal(TimeProvider.System), TimeProvider.System);
    }
}
