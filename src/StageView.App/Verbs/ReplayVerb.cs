using System.CommandLine;
using System.Globalization;
using System.Net;
using System.Runtime.InteropServices;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.App.Sending;
using StageView.Ground.Words;
using StageView.Show;
using StageView.Wire.Capture;

namespace StageView.App.Verbs;

/// <summary><c>stageview replay FILE</c>: sends a capture again.</summary>
internal static class ReplayVerb
{
    public static Command Build()
    {
        var file = new Argument<string>("FILE") { Description = "A capture file (pcap or pcapng)." };
        var to = new Option<string>("--to")
        {
            Description = "The address to send to. Naming another than loopback sends to that machine: it may move a real rig, so it is asked about first.",
            HelpName = "ADDRESS",
            DefaultValueFactory = _ => "127.0.0.1",
        };
        var what = new ReplayOptions();
        var yes = new Option<bool>("--yes") { Description = "Don't ask before sending to another address than loopback; the caution is printed all the same." };
        var json = Verb.JsonOption();
        var command = new Command("replay",
            "Sends the sACN and Art-Net of a capture, or of a part of it, again at its own pace, to this machine alone unless an address is named.") { file,
                to, yes, json };
        what.AddTo(command);
        return command.Does((parse, stop) => Task.Run(() => Run(parse.GetValue(file)!, parse.GetValue(to)!, () => what.Read(parse, parse.GetValue(file)!),
            parse.GetValue(yes), parse.GetValue(json), stop)));
    }

    private static async Task<int> Run(string file, string to, Func<ReplayPart> read, bool yes, bool asJson, CancellationToken stop)
    {
        if (!IPAddress.TryParse(to, out var address))
        {
            throw StopException.Wrong($"--to {to}: not an IP address");
        }

        // What is wrong with the question is said before anyone is asked for consent.
        CaptureReader.Open(file).Dispose();
        var part = read();
        await SendConsent.Ask(address, yes, stop).ConfigureAwait(false);
        using var replayer = new Replayer(address, TimeProvider.System);
        // A terminal that is closed or lost ends it as Ctrl+C does.
        using var ended = CancellationTokenSource.CreateLinkedTokenSource(stop);
        using var hangUp = PosixSignalRegistration.Create(PosixSignal.SIGHUP, signal =>
        {
            signal.Cancel = true;
            ended.Cancel();
        });
        var doubts = replayer.Send(() => CaptureReader.Open(file), part, ended.Token);
        foreach (var doubt in doubts)
        {
            Tell.Note(doubt);
        }

        if (asJson)
        {
            Answers.WriteJson(new
            {
                file, to, speed = part.Speed, passes = replayer.Passes, sent = replayer.Sent, leftOut = replayer.LeftOut,
                mostLateMs = replayer.MostLate.TotalMilliseconds,
                streamsEnded = replayer.Ended, artDmxSent = replayer.ArtDmxSent, problem = doubts.Count > 0 ? string.Join("; ", doubts) : null,
                caution = IPAddress.IsLoopback(address) ? null : string.Join(" ", SendConsent.Caution(address)),
            });
        }
        else
        {
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
                $"{Counted.Of(replayer.Sent, "packet")} sent to {address}{(replayer.Passes > 1 ? $" in {replayer.Passes} times" : "")}, "
                + $"{replayer.LeftOut} left out (other kinds, other universes), the latest left "
                + $"{replayer.MostLate.TotalMilliseconds:F1} ms after its time; {Counted.Of(replayer.Ended, "sACN stream")} ended"));
            if (replayer.ArtDmxSent > 0 && !IPAddress.IsLoopback(address))
            {
                Console.WriteLine("Art-Net has no packet that ends a stream: nodes may hold the last look until someone else sends.");
            }
        }

        return doubts.Count > 0 ? Exit.WrongQuestion : Exit.Fine;
    }
}
