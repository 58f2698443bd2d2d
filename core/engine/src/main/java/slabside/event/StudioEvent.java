package slabside.event;

/** One thing that happened in the studio. Never edited or deleted; put right by a later {@link LogEvent.Amended}. */
public sealed interface StudioEvent
        permits ShelfEvent,
                InkEvent,
                TestEvent,
                StoneEvent,
                PaperEvent,
                EditionEvent,
                PressEvent,
                LogEvent,
                PluginEvent,
                UnknownEvent {}
