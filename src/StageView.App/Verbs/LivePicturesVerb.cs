using System.CommandLine;
using System.Runtime.InteropServices;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.Live.Pictures;

namespace StageView.App.Verbs;

/// <summary>The drawing half of <c>live</c>, started by it; not for people.</summary>
internal static class LivePicturesVerb
{
    public static Command Build()
    {
        var window = new Option<bool>("--window") { Description = "Open a window." };
        var indirect = new Option<bool>("--indirect") { Description = "Show what matt surfaces throw on each other." };
        var command = new Command("live-pictures", "Draws for 'live', which starts it by itself.") { window, indirect };
        command.Hidden = true;
        return command.Does(parse =>
        {
            // Ctrl+C reaches both processes; this one ends with its input, when the other is done with it.
            using var interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, signal => signal.Cancel = true);
            using var input = Console.OpenStandardInput();
            using var output = Console.OpenStandardOutput();
            using var worker = new PicturesWorker(input, output, parse.GetValue(window)) { Indirect = parse.GetValue(indirect) };
            return worker.Run() ? Exit.Fine : Exit.MachineCannot;
        });
    }
}
