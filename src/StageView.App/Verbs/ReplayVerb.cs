using System.CommandLine;
using System.Globalization;
using System.Net;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
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
            Description = "The address to send to. Naming another than loopback sends to that machine: it may move a real rig.",
            HelpName = "ADDRESS",
            DefaultValueFactory = _ => "127.0.0.1",
        };
        var speed = new Option<double>("--speed") { Description = "How many times faster than it was recorded.", HelpName = "N", DefaultValueFactory = _ => 1 };
        var json = Verb.JsonOption();
        var command = new Command("replay",
            "Sends the sACN and Art-Net of a capture again at its own pace, to this machine alone unless an address is named.") { file, to, speed, json };
        return command.Does((parse, stop) =>
            Task.Run(() => Run(parse.GetValue(file)!, parse.GetValue(to)!, parse.GetValue(speed), parse.GetValue(json), stop)));
    }

    private static int Run(string file, string to, double speed, bool asJson, CancellationToken stop)
    {
        if (!IPAddress.TryParse(to, out var address))
        {
            throw StopException.Wrong($"--to {to}: not an IP address");
        }

        if (speed is not (> 0 and <= 1000))
        {
            throw StopException.Wrong(string.Create(CultureInfo.InvariantCulture, $"--speed {speed}: must be above 0 and at most 1000"));
        }

        using var reader = CaptureReader.Open(file);
        using var replayer = new Replayer(address, TimeProvider.System);
        replayer.Send(reader, speed, stop);
        if (reader.Problem is { } problem)
        {
            Console.Error.WriteLine("stageview: " + problem);
        }

        if (asJson)
        {
            Answers.WriteJson(new
            {
                file, to, speed, sent = replayer.Sent, leftOut = replayer.LeftOut, mostLateMs = replayer.MostLate.TotalMilliseconds,
                problem = reader.Problem
            });
        }
        else
        {
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
                $"{Counted.Of(replayer.Sent, "packet")} sent to {address}, {replayer.LeftOut} of other kinds left out, the latest left "
                + $"{replayer.MostLate.TotalMilliseconds:F1} ms after its time"));
        }

        return Exit.Fine;
    }
}
