using System.CommandLine;
using System.Globalization;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.App.Watching;
using StageView.Ground.Words;
using StageView.Show;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Wire.Capture;
using StageView.Wire.Health;

namespace StageView.App.Verbs;

/// <summary><c>stageview record RIG --out FILE</c>: what is heard, as a capture file.</summary>
internal static class RecordVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var output = new Option<string>("--out") { Description = "The capture file to write (pcapng); it must not exist.", HelpName = "FILE", Required = true };
        var address = new Option<string[]>("--address")
        {
            Description = "A local address to listen on beside loopback and those of the rig file; may be given several times.", HelpName = "ADDRESS",
        };
        var length = new Option<string?>("--for") { Description = "Record for so long (10s, 5m, 2h). Without it: until Ctrl+C.", HelpName = "TIME" };
        var size = new Option<double?>("--most-megabytes") { Description = "End before the file grows past this.", HelpName = "MB" };
        var json = Verb.JsonOption();
        var command = new Command("record",
            "Records the sACN and Art-Net that a rig listens to as a capture file that Wireshark opens; needs no administrator's rights.") { rig, venue, output,
            address, length, size, json };
        return command.Does((parse, stop) => Run(parse.GetValue(rig)!, parse.GetValue(venue), parse.GetRequiredValue(output), parse.GetValue(address) ?? [],
            parse.GetValue(length), parse.GetValue(size), parse.GetValue(json), stop));
    }

    private static async Task<int> Run(string path, string? venue, string output, string[] addresses, string? length, double? megabytes, bool asJson,
        CancellationToken stop)
    {
        var rig = RigFiles.Open(path, venue, tell: Tell.Note);
        if (File.Exists(output))
        {
            throw StopException.Wrong($"{output} exists; a recording never overwrites: name another file or remove it");
        }

        var time = length is null ? (TimeSpan?)null : Durations.Read("--for", length);
        using var source = ShowListener.Open(rig, addresses, null, stop: CancellationToken.None);
        foreach (var note in source.Notes)
        {
            Tell.Note(note);
        }

        using var recorder = new Recorder(output, TimeProvider.System.GetUtcNow() - source.Now, megabytes is { } mb ? (long)(mb * 1e6) : long.MaxValue, time);
        source.Tap(recorder);
        var shared = new SortedSet<string>(source.SharedPorts, StringComparer.Ordinal);
        using var clock = new PeriodicTimer(TimeSpan.FromMilliseconds(200));
        try
        {
            while (recorder.Ended is null && (time is null || source.Now < time) && await clock.WaitForNextTickAsync(stop).ConfigureAwait(false))
            {
            }
        }
        catch (OperationCanceledException)
        {
            // Ctrl+C ends a recording as it should.
        }

        var ended = recorder.Ended ?? (source.Now >= time ? Recorder.TimeIsOver : null);
        var drops = source.KernelDrops;
        foreach (var port in source.SharedPorts)
        {
            shared.Add(port);
        }

        source.Dispose();
        recorder.Dispose();
        ended = recorder.Refused ? recorder.Ended : ended;
        if (asJson)
        {
            Answers.WriteJson(new { output, packets = recorder.Datagrams, bytes = recorder.Bytes, kernelDrops = drops, sharedPorts = shared, ended });
        }
        else
        {
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
                $"{output}: {Counted.Of(recorder.Datagrams, "packet")}, {recorder.Bytes / 1e6:F1} MB"
                + $"{(drops > 0 ? $"; {Counted.Of(drops, "more was", "more were")} dropped by this machine" : "")}"
                + $"{(ended is { } why ? $"; ended because {why}" : "")}"));
        }

        foreach (var port in shared)
        {
            Tell.Note(new Finding { Kind = FindingKind.SharedPort, Stands = true, Reason = port }.Text);
        }

        return recorder.Refused ? Exit.MachineCannot : drops > 0 || shared.Count > 0 ? Exit.No : Exit.Fine;
    }
}
