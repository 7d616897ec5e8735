using System.CommandLine;
using System.Globalization;
using System.Net;
using System.Runtime.InteropServices;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.App.Sending;
using StageView.App.Watching;
using StageView.Ground.Files;
using StageView.Ground.Words;
using StageView.Live.Server;
using StageView.Show;
using StageView.Show.LineCheck;
using StageView.Show.Rigs;
using StageView.Wire.Capture;

namespace StageView.App.Verbs;

/// <summary><c>stageview linecheck RIG</c>: lights one fixture after another, for a person on stage to tick.</summary>
internal static class LinecheckVerb
{
    private const int UsualPort = 4965;

    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var only = new Option<string[]>("--only")
        {
            Description = "Fixtures, groups or positions; may be given several times. All without it.", HelpName = "SELECTION",
        };
        var level = new Option<double>("--level")
        {
            Description = "Share of full, .01 to 1.", HelpName = "SHARE", DefaultValueFactory = _ => LinePlan.UsualLevel,
        };
        var order = new Option<string>("--order")
        {
            Description = "In which order: position (as the rig file lists them), patch or number.", HelpName = "ORDER", DefaultValueFactory = _ => "position",
        };
        var hold = new Option<string>("--hold") { Description = "How long each lights in a capture.", HelpName = "TIME", DefaultValueFactory = _ => "4s" };
        var file = new Option<string?>("--out") { Description = "Write it as a capture, to be sent with replay.", HelpName = "FILE" };
        var list = new Option<string?>("--list")
        {
            Description = "Write the page for a phone that goes with the capture; it keeps its ticks itself.", HelpName = "FILE",
        };
        var send = new Option<bool>("--send") { Description = "Send it, and serve a page that lights the next one at each tick. Ctrl+C or the page ends it." };
        var to = new Option<string?>("--to")
        {
            Description = "With --send: the address to send to, this machine's loopback unless named. Another may move a real rig, so it is asked about first.",
            HelpName = "ADDRESS",
        };
        var yes = new Option<bool>("--yes") { Description = "Don't ask before sending to another address than loopback; the caution is printed all the same." };
        var serve = new Option<string>("--serve")
        {
            Description = "This machine's address that the phone reaches.", HelpName = "ADDRESS", DefaultValueFactory = _ => "127.0.0.1",
        };
        var port = new Option<int>("--port") { Description = "The page's port, 0 for any.", HelpName = "PORT", DefaultValueFactory = _ => UsualPort };
        var json = Verb.JsonOption();
        var command = new Command("linecheck",
            "Lights one fixture after another, as a capture or live, for a person on stage to tick on a phone, and lists those that did not light. Lasers are "
            + "left out. Exit code 1: some did not light, or nothing was said of them.")
        {
            rig, venue, only, level, order, hold, file, list, send, to, yes, serve, port, json,
        };
        command.Validators.Add(found =>
        {
            if (found.GetValue(send) && (found.GetValue(file) ?? found.GetValue(list)) is not null)
            {
                found.AddError("--send sends; --out and --list write files: give one or the other");
            }
        });
        return command.Does(async (parse, stop) =>
        {
            if (parse.GetValue(level) is not (>= .01 and <= 1))
            {
                throw StopException.Wrong("--level takes a share of full, .01 to 1");
            }

            Verb.CheckPort(parse.GetValue(port), "--port", 0);
            var length = Durations.Read("--hold", parse.GetValue(hold)!);
            var opened = RigFiles.Open(parse.GetValue(rig)!, parse.GetValue(venue), tell: Tell.Note);
            var plan = new LinePlan(opened, parse.GetValue(only) ?? [], parse.GetValue(level), parse.GetValue(order)!);
            if (parse.GetValue(send))
            {
                var address = SendConsent.Address(parse.GetValue(to), send: true);
                var at = IPAddress.TryParse(parse.GetValue(serve), out var ip) ? ip
                    : throw StopException.Wrong($"--serve {parse.GetValue(serve)}: not an IP address");
                await SendConsent.Ask(address, parse.GetValue(yes), stop).ConfigureAwait(false);
                return await Live(opened.Name, plan, address, at, parse.GetValue(port), parse.GetValue(json), stop).ConfigureAwait(false);
            }

            if (parse.GetValue(to) is not null)
            {
                throw StopException.Wrong("--to names where --send sends to: give both");
            }

            return Files(opened.Name, plan, length, parse.GetValue(file), parse.GetValue(list), parse.GetValue(json));
        });
    }

    private static int Files(string rig, LinePlan plan, TimeSpan hold, string? file, string? list, bool asJson)
    {
        var packets = 0L;
        if (file is not null)
        {
            WholeFile.Write(file, stream => packets = LineCapture.Write(plan, hold, stream, TimeProvider.System.GetUtcNow()));
        }

        if (list is not null)
        {
            WholeFile.WriteText(list, LinePage.Write(rig, plan, hold.TotalSeconds));
        }

        if (asJson)
        {
            Answers.WriteJson(new
            {
                holdSeconds = hold.TotalSeconds, plan.Steps, plan.NotLit, plan.Universes, file, list, packets = file is null ? (long?)null : packets,
            });
            return Exit.Fine;
        }

        Answers.Table(["at s", "number", "fixture", "position", "type", "patch"], plan.Steps.Select((s, i) => (string[])
            [(i * hold.TotalSeconds).ToString("0.#", CultureInfo.InvariantCulture), s.Number, s.Name, s.Position, s.Profile, s.Patch]));
        foreach (var left in plan.NotLit)
        {
            Console.WriteLine("- not lit: " + left);
        }

        Console.WriteLine(file is null ? $"{Counted.Of(plan.Steps.Count, "fixture")}; --out writes the capture, --send sends it"
            : $"{Counted.Of(plan.Steps.Count, "fixture")}, {Counted.Of(packets, "packet")} to {file}");
        return Exit.Fine;
    }

    private static async Task<int> Live(string rig, LinePlan plan, IPAddress to, IPAddress serve, int port, bool asJson, CancellationToken stop)
    {
        var sheet = new LineSheet(plan);
        await using var server = new LineCheckServer(LinePage.Write(rig, plan, null), sheet);
        await server.Start(serve, port).ConfigureAwait(false);
        await Console.Error.WriteLineAsync($"page: {server.Link}").ConfigureAwait(false);
        using var ended = CancellationTokenSource.CreateLinkedTokenSource(stop);
        using var hangUp = PosixSignalRegistration.Create(PosixSignal.SIGHUP, signal =>
        {
            signal.Cancel = true;
            ended.Cancel();
        });
        using (var sender = new StreamSender(to))
        {
            var packets = new LineSender(plan, "StageView line check");
            using var clock = new PeriodicTimer(LineSender.TickTime);
            var start = TimeProvider.System.GetTimestamp();
            try
            {
                while (!sheet.Ended)
                {
                    packets.Tick(TimeProvider.System.GetElapsedTime(start), sheet.At, (_, packet) => sender.Send(packet));
                    await clock.WaitForNextTickAsync(ended.Token).ConfigureAwait(false);
                }
            }
            catch (OperationCanceledException)
            {
                // Ctrl+C: what was ticked so far is told.
            }

            // Nothing stays lit by us: the last that is sent is dark.
            packets.Tick(TimeProvider.System.GetElapsedTime(start), plan.Steps.Count, (_, packet) => sender.Send(packet));
        }

        var answer = sheet.Answer();
        if (asJson)
        {
            Answers.WriteJson(answer);
        }
        else
        {
            Console.WriteLine($"{answer.Answered} of {Counted.Of(answer.Asked, "fixture")} lit");
            foreach (var s in answer.NoAnswer)
            {
                Console.WriteLine($"! did not light: {(s.Number.Length > 0 ? s.Number + " " : "")}{s.Name}, {s.Position}, {s.Patch}");
            }

            foreach (var s in answer.Open)
            {
                Console.WriteLine($"- nothing was said of {s.Name}");
            }
        }

        return answer.NoAnswer.Count + answer.Open.Count > 0 ? Exit.No : Exit.Fine;
    }
}
