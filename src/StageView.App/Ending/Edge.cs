using StageView.Ground.Files;
using StageView.Render.Contexts;
using StageView.Show;
using StageView.Snapshot;
using StageView.Wire.Capture;
using StageView.Wire.Sockets;

namespace StageView.App.Ending;

/// <summary>The process edge: no exception leaves it, each becomes one line on standard error and an exit code.</summary>
internal static class Edge
{
    public static int Guard(Func<int> run)
    {
        try
        {
            return run();
        }
        catch (Exception e)
        {
            return Report(e);
        }
    }

    public static async Task<int> Guard(Func<Task<int>> run)
    {
        try
        {
            return await run().ConfigureAwait(false);
        }
        catch (Exception e)
        {
            return Report(e);
        }
    }

    /// <summary>
    /// The disk is full, can only be read, or the user's share of it is used up: ENOSPC, EROFS and EDQUOT of Linux and macOS (69), whose numbers the runtime
    /// passes on; ERROR_DISK_FULL, ERROR_HANDLE_DISK_FULL and ERROR_WRITE_PROTECT of Windows as HRESULTs.
    /// </summary>
    private static bool IsMachine(IOException e) => e.HResult is 28 or 30 or 122 or 69
        or unchecked((int)0x80070070) or unchecked((int)0x80070027) or unchecked((int)0x80070013);

    private static int Report(Exception e)
    {
        switch (e)
        {
            case StopException stop:
                Console.Error.WriteLine("stageview: " + stop.Message);
                return stop.Kind switch
                {
                    StopKind.No => Exit.No,
                    StopKind.MachineCannot => Exit.MachineCannot,
                    _ => Exit.WrongQuestion,
                };
            case MachineCannotException or ListenException or SendException:
                Console.Error.WriteLine("stageview: " + e.Message);
                return Exit.MachineCannot;
            case CannotWriteException:
            case IOException io when IsMachine(io):
                Console.Error.WriteLine("stageview: " + e.Message);
                return Exit.MachineCannot;
            case OperationCanceledException:
                return Exit.Fine;
            case SnapshotException:
                Console.Error.WriteLine("stageview: " + e.Message);
                return Exit.WrongQuestion;
            case FileNotFoundException or DirectoryNotFoundException:
            case UnauthorizedAccessException or IOException:
                Console.Error.WriteLine("stageview: " + e.Message);
                return Exit.WrongQuestion;
            default:
                Console.Error.WriteLine($"stageview: this is a fault of ours ({e.GetType().Name}): {e.Message}");
                if (Environment.GetEnvironmentVariable("STAGEVIEW_TRACE") == "1")
                {
                    Console.Error.WriteLine(e.StackTrace);
                }

                return Exit.OurFault;
        }
    }
}
